import { whenDays } from '../calendar/edtf.ts'
import { localDayOf } from '../calendar/local-day.ts'
import type { HomeEventKind, LocalDay, RadonUnit } from '../facts.ts'
import { outcomeWithBar } from '../quantity/comparison.ts'
import { exact } from '../quantity/exact.ts'
import { exactText } from '../quantity/print-exact.ts'
import type { Decision } from '../verdict/decide-location.ts'
import { mayBeAfter, type SystemChange } from '../verdict/system-changes.ts'
import { dayWords } from '../verdict/undetermined.ts'
import { type DutyContext, lastReading } from './duties.ts'
import type { Duty } from './owed.ts'

const hourMs = 3_600_000

/** The test that is owed next. While one is under way, none is. */
export function testDuties(context: DutyContext): readonly Duty[] {
  if (context.underWay.length > 0) return []
  const { decision, change } = context
  if (!decision) return change ? (afterChange(context, change) ?? []) : (initialTest(context) ?? [])
  if (decision.outcome === 'below') return retests(context, decision)
  return decision.outcome === 'at-or-above' ? [] : (followUp(context, decision) ?? [])
}

function initialTest({ home, law }: DutyContext): readonly Duty[] | null {
  const within = law.rules.initialTestWithin
  if (home.knownSince === null || !within) return null
  const countedFrom = localDayOf(home.knownSince, home.zone)
  const base = { causeId: home.propertyId, countedFrom, event: 'Home recorded', within, earliestOn: null }
  return [
    { kind: 'initial-test', ...base, owedBy: 'homeowner', recommended: true, reason: 'no valid test is on record' },
  ]
}

const changeWords: Record<SystemChange['kind'], string> = {
  started: 'System started',
  altered: 'System altered',
  repaired: 'System repaired',
  off: 'System off',
}

function afterChange({ home, law, earlier }: DutyContext, change: SystemChange): readonly Duty[] | null {
  const wasBelow = change.kind !== 'started' && earlier.at(-1)?.test.outcome === 'below'
  const within = wasBelow ? law.rules.retestAfterEventWithin : law.rules.postMitigationWithin
  // Of a change on an unknown day only this is sure: it was over when the home was recorded.
  const known = change.latest ?? (home.knownSince === null ? null : localDayOf(home.knownSince, home.zone))
  if (known === null || !within) return null
  const newest = earlier.at(-1)?.test
  const mayHaveTest = newest !== undefined && mayBeAfter(newest, change, home.zone)
  const hours = law.rules.postMitigationEarliestHours?.value ?? 0
  const earliestOn = change.when.at === null ? null : localDayOf(change.when.at + hours * hourMs, home.zone)
  return [
    {
      kind: wasBelow ? 'retest' : 'post-mitigation-test',
      causeId: change.causeId,
      countedFrom: known,
      roughly: change.when.at === null ? dayWords(change) : null,
      event: changeWords[change.kind],
      within,
      earliestOn,
      owedBy: change.installedByUs && !wasBelow ? 'company' : 'homeowner',
      recommended: true,
      reason: `${changeWords[change.kind].toLowerCase()}, and ${mayHaveTest ? 'perhaps ' : ''}not tested since`,
    },
  ]
}

function followUp({ law }: DutyContext, decision: Decision): readonly Duty[] | null {
  const urgent = isUrgent(decision, law) ? law.rules.urgentFollowUpWithin : undefined
  const within = urgent ?? law.rules.followUpWithin
  if (!within) return null
  const { testId, stopOn } = lastReading(decision)
  const base = { causeId: testId, countedFrom: stopOn, event: 'Test ended', within, earliestOn: null }
  return [
    {
      kind: 'follow-up-test',
      ...base,
      owedBy: 'homeowner',
      recommended: true,
      reason: `${followUpWords(decision)}${urgent ? '; at once, so far above the level' : ''}`,
    },
  ]
}

function followUpWords({ outcome, reason }: Decision): string {
  if (outcome === 'needs-follow-up') return 'a first short-term result wants a second test'
  if (outcome === 'disagreement') return 'the results disagree'
  return reason === 'not-the-required-kind' ? 'only a long-term test decides' : 'the result does not tell'
}

function isUrgent({ outcome, level, figure }: Decision, { rules }: DutyContext['law']): boolean {
  const factor = rules.urgentFollowUpFactor?.value
  if (factor === undefined || outcome !== 'needs-follow-up') return false
  const value = exactText(exact(level.value).mul(factor))
  const decimals = rules.rounding?.value.unit === level.unit ? rules.rounding.value.decimals : null
  return outcomeWithBar(figure, { value, unit: level.unit as RadonUnit, operator: '>', decimals }) === 'over'
}

const eventWords: Record<HomeEventKind, string> = {
  addition: 'Addition built',
  renovation: 'Renovated',
  'newly-lived-in': 'Newly lived in',
  'heating-change': 'Heating changed',
  'ventilation-change': 'Ventilation changed',
  'new-opening': 'New opening to the soil',
  'quake-or-blasting': 'Quake or blasting',
  sale: 'Sold',
}

function retests({ home, law, mitigated }: DutyContext, decision: Decision): readonly Duty[] {
  const { testId, stopOn } = lastReading(decision)
  const every = mitigated ? law.rules.retestMitigatedEvery : law.rules.retestUnmitigatedEvery
  const reason = mitigated ? 'a home with a system is tested again' : 'a home below its level is tested again'
  const regular = every ? [retest(testId, stopOn, 'Test ended', null, every, reason)] : []
  const within = law.rules.retestAfterEventWithin
  const kinds: readonly string[] = law.rules.retestAfterEvents?.value ?? []
  const afterEvents = home.events.flatMap((event): readonly Duty[] => {
    const days = whenDays(event.when, home.zone)
    const countedFrom: LocalDay | undefined = days?.latest
    if (!within || !kinds.includes(event.kind) || countedFrom === undefined || countedFrom <= stopOn) return []
    const words = eventWords[event.kind]
    const perhaps = days && days.earliest <= stopOn ? ', perhaps' : ''
    const roughly = event.when.at === null ? event.when.edtf : null
    return [
      retest(event.id, countedFrom, words, roughly, within, `${words.toLowerCase()}${perhaps} since the last test`),
    ]
  })
  return [...regular, ...afterEvents]
}

const retest = (
  causeId: string,
  countedFrom: LocalDay,
  event: string,
  roughly: string | null,
  within: Duty['within'],
  reason: string,
): Duty => ({
  kind: 'retest',
  causeId,
  countedFrom,
  roughly,
  event,
  within,
  earliestOn: null,
  owedBy: 'homeowner',
  recommended: true,
  reason,
})
