import type { EvaluatedTest } from '../../domain/answers.ts'
import { monthOf, monthWords } from '../../domain/calendar/month.ts'
import type { Instant } from '../../domain/facts.ts'
import { cameHereWords, correctionWords } from '../../web/correction-words.ts'
import { dayWords } from '../../web/day-words.ts'
import { methodWords } from '../../web/method-words.ts'
import { purposeWords } from '../../web/purpose-words.ts'
import { quantityWords } from '../../web/quantity-text.tsx'
import type { CorrectionOfHome, HomeHistory, HomeOutreach, HomeSystem, HomeTest } from './home-history.ts'
import type { AroundHome } from './rows.ts'
import { spoken } from './words.ts'

/** One fact in the history of a home. */
export type TimelineEntry = {
  /** Kind and id: also the entry's anchor on the page. */
  readonly key: string
  readonly factId: string
  readonly at: Instant | null
  /** An approximate date where the instant is not known (EDTF). */
  readonly edtf: string | null
  readonly kind:
    | 'test'
    | 'system'
    | 'component'
    | 'gauge'
    | 'callback'
    | 'visit'
    | 'note'
    | 'home'
    | 'owner'
    | 'mail'
    | 'report'
    | 'outreach'
    | 'correction'
  readonly title: string
  readonly detail: string
  /** Set where the fact was voided, moved away or undone: it is shown struck through, with what became of it and why. */
  readonly voided: { readonly how: string; readonly reason: string } | null
  readonly photoNoteId: string | null
}
type Kept = { readonly id: string; readonly voidedAt: Instant | null; readonly voidReason: string | null }

const entry = (
  kind: TimelineEntry['kind'],
  fact: Kept,
  when: { at: Instant | null; edtf?: string | null },
  title: string,
  detail = '',
): TimelineEntry => ({
  key: `${kind}-${fact.id}`,
  factId: fact.id,
  at: when.at,
  edtf: when.edtf ?? null,
  kind,
  title,
  detail,
  voided: fact.voidedAt === null ? null : { how: 'voided', reason: fact.voidReason ?? '' },
  photoNoteId: null,
})
const sound = { voidedAt: null, voidReason: null }
const sentence = (...parts: (string | null | false | undefined)[]) => parts.filter(Boolean).join('; ')

/** Every fact of a home as an entry, newest first; facts without any date come last. */
export function timelineEntries(
  history: HomeHistory,
  people: readonly AroundHome[],
  evaluated: readonly EvaluatedTest[],
): TimelineEntry[] {
  const answers = new Map(evaluated.map(test => [test.testId, test]))
  const entries = [
    ...history.tests.map(test => testEntry(test, answers.get(test.id))),
    ...history.systems.flatMap(systemEntries),
    ...history.callbacks.map(fact =>
      entry(
        'callback',
        fact,
        { at: fact.reportedAt },
        `Callback ${fact.number}: ${spoken(fact.complaint).toLowerCase()}`,
        sentence(
          fact.reportedBy && `reported by ${fact.reportedBy}`,
          fact.description,
          fact.found && `found: ${fact.found}`,
          fact.done && `done: ${fact.done}`,
          fact.closedAt === null && 'still open',
        ),
      ),
    ),
    ...history.visits.map(fact =>
      entry(
        'visit',
        fact,
        { at: fact.startsAt },
        `Visit: ${spoken(fact.purpose).toLowerCase()}`,
        sentence(fact.crew.join(', '), spoken(fact.outcome), fact.outcomeNote),
      ),
    ),
    ...history.notes.map(fact => ({
      ...entry('note', fact, { at: fact.at }, fact.photo ? 'Photo' : 'Note', fact.text),
      photoNoteId: fact.photo ? fact.id : null,
    })),
    ...history.events.map(fact => entry('home', fact, fact.when, spoken(fact.kind), fact.note)),
    ...history.mails.map(mail =>
      entry(
        'mail',
        { ...mail, ...sound },
        { at: mail.sentAt ?? mail.createdAt },
        `Mail: ${mail.subject}`,
        sentence(`to ${mail.toName}`, spoken(mail.state).toLowerCase()),
      ),
    ),
    ...history.reports.map(report =>
      entry(
        'report',
        { ...report, ...sound },
        { at: report.receivedAt },
        `From the homeowner: ${spoken(report.kind).toLowerCase()}`,
        spoken(report.state),
      ),
    ),
    ...history.outreach.map(outreachEntry),
    ...history.corrections.map(correctionEntry),
    ...people.filter(person => person.role === 'owner').map(ownerEntry),
  ]
  return entries.sort((a, b) => (b.at ?? rank(b.edtf)) - (a.at ?? rank(a.edtf)))
}

// Roughly dated facts are put among the others by the first day they can mean; undated ones last.
const rank = (edtf: string | null): Instant => {
  const year = edtf === null ? Number.NaN : Date.parse(`${edtf.slice(0, 4).replace('X', '0')}-01-01`)
  return Number.isNaN(year) ? Number.MIN_SAFE_INTEGER : year
}

function testEntry(test: HomeTest, answer: EvaluatedTest | undefined): TimelineEntry {
  const when = answer?.stopAt ?? test.resultInAt ?? test.pickedUpAt ?? test.setAt ?? test.createdAt
  const results = answer?.exposures.flatMap(({ result, locationName, uncertainty }) =>
    result ? [`${locationName} ${quantityWords({ ...result, uncertainty })}`] : [],
  )
  const validity = answer?.validity === 'invalid' && 'not valid'
  const stage = answer && answer.stage !== 'result-in' && spoken(answer.stage).toLowerCase()
  return entry(
    'test',
    test,
    { at: when },
    `${purposeWords[test.purpose]}, ${methodWords[test.method]}`,
    sentence(results?.join(', '), validity, stage),
  )
}

const gaugeWords = (role: string): string =>
  role === 'adopted' ? 'Adopted as the baseline, not a start-up reading' : spoken(role)

function outreachEntry(fact: HomeOutreach): TimelineEntry {
  const until = dayWords(fact.backOn)
  const title =
    fact.kind === 'called'
      ? `Called: ${spoken(fact.outcome).toLowerCase()}`
      : `Put off to ${monthWords(monthOf(fact.backOn))}`
  return entry(
    'outreach',
    fact,
    { at: fact.at },
    title,
    sentence(fact.by, fact.kind === 'called' && `call again on ${until}`, fact.note),
  )
}

function systemEntries(system: HomeSystem): TimelineEntry[] {
  const name = system.tag ? `System ${system.tag}` : 'System'
  return [
    ...system.events.map(event =>
      entry('system', event, event.when, `${name}: ${spoken(event.kind).toLowerCase()}`, event.note),
    ),
    ...system.components.flatMap(part => {
      const what = sentence(part.model, part.serial && `serial ${part.serial}`, part.place)
      const installed = entry('component', part, part.installed, `${spoken(part.kind)} in`, what)
      if (part.removed.at === null && part.removed.edtf === null) return [installed]
      const removed = entry(
        'component',
        part,
        part.removed,
        `${spoken(part.kind)} out`,
        sentence(what, part.removalReason),
      )
      return [installed, { ...removed, key: `${removed.key}-out` }]
    }),
    ...system.gaugeReadings.map(reading =>
      entry(
        'gauge',
        reading,
        reading,
        `${name}: gauge ${reading.value} ${reading.unit}`,
        sentence(gaugeWords(reading.role), reading.readBy, reading.note),
      ),
    ),
  ]
}

// What went to another home stands here struck through, and so does a correction that was undone.
function correctionEntry(made: CorrectionOfHome): TimelineEntry {
  const { subject, reason, awayTo, undoneAt, undoReason } = made
  const title = awayTo === null ? cameHereWords(made) : correctionWords(made)
  const shown = entry('correction', { id: made.id, ...sound }, { at: made.madeAt }, title)
  if (undoneAt !== null) {
    return {
      ...shown,
      detail: sentence(subject, `because: ${reason}`),
      voided: { how: 'undone', reason: undoReason ?? '' },
    }
  }
  if (awayTo !== null) return { ...shown, detail: subject, voided: { how: `now at ${awayTo}`, reason } }
  return { ...shown, detail: `because: ${reason}` }
}

function ownerEntry(person: AroundHome): TimelineEntry {
  const at = person.fromOn === null ? null : Date.parse(`${person.fromOn}T12:00:00Z`)
  const until = person.untilOn === null ? '' : `until ${person.untilOn}`
  return entry('owner', { id: person.id, ...sound }, { at, edtf: person.roughly }, `Owner: ${person.name}`, until)
}
