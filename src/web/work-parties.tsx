import type { LocalDay } from '../domain/facts.ts'
import { receiversOf } from '../domain/work-parties/result-receivers.ts'
import { holdsOn, type WorkPart, type WorkParty, type WorkSubject } from '../domain/work-parties/work-party.ts'
import { paths } from './paths.ts'
import { DayText } from './when-text.tsx'

export const partWords: Readonly<Record<WorkPart, string>> = {
  ordered: 'Ordered by',
  pays: 'Paid by',
  'may-see': 'May see the result',
}
export type ShownParty = WorkParty & { readonly id: string; readonly name: string }
type Person = { readonly id: string; readonly name: string }

type Props = {
  readonly work: { readonly subject: WorkSubject; readonly id: string }
  readonly parties: readonly ShownParty[]
  readonly owner: Person | null
  readonly today: LocalDay
}

/** Who ordered a piece of work, who pays for it and who may see its result, until when. */
export const WorkParties = ({ work, parties, owner, today }: Props): JSX.Element => (
  <section id="parties">
    <h2>Ordered, paid, seen</h2>
    {parties.length === 0 ? <p class="empty">Who ordered it and who pays is not on record.</p> : ''}
    <ul class="ruled">
      {parties.map(party => (
        <li class={holdsOn(party, today) ? undefined : 'former'}>
          <PartyWords party={party} today={today} />
        </li>
      ))}
    </ul>
    {work.subject === 'test' ? <p safe>{receiverWords(parties, owner, today)}</p> : ''}
    <p>
      <a class="button quiet" href={paths.workParties(work.subject, work.id)}>
        Say who ordered, pays, may see
      </a>
    </p>
  </section>
)

/** `Ordered by Ann Holm, from 3 May 2026, until 30 June 2026`. */
export const PartyWords = ({ party, today }: { party: ShownParty; today: LocalDay }): JSX.Element => (
  <>
    <span safe>{`${partWords[party.part]}: `}</span>
    <a href={paths.person(party.customerId)} safe>
      {party.name}
    </a>
    {party.firstOn === null ? (
      ''
    ) : (
      <>
        {', from '}
        <DayText day={party.firstOn} today={today} />
      </>
    )}
    {party.lastOn === null ? (
      ''
    ) : (
      <>
        {party.lastOn < today ? ', ended after ' : ', until the end of '}
        <DayText day={party.lastOn} today={today} />
      </>
    )}
  </>
)

const reasons = {
  named: 'named here as allowed to see it',
  ordered: 'who ordered it, as nobody is named',
  owner: 'the owner, as nobody is named and nobody is on record as having ordered it',
} as const

/** Those a test's result may go to today, by name. */
export function receiversShown(parties: readonly ShownParty[], owner: Person | null, today: LocalDay): Person[] {
  const names = new Map(parties.map(({ customerId, name }) => [customerId, name]))
  if (owner) names.set(owner.id, owner.name)
  return receiversOf(parties, owner?.id ?? null, today).customerIds.map(id => ({ id, name: names.get(id) ?? '' }))
}

function receiverWords(parties: readonly ShownParty[], owner: Person | null, today: LocalDay): string {
  const { because } = receiversOf(parties, owner?.id ?? null, today)
  const names = receiversShown(parties, owner, today).map(({ name }) => name)
  if (names.length > 0 && because !== 'nobody')
    return `The office may send the result to ${names.join(' and ')}: ${reasons[because]}. To nobody else.`
  return because === 'named'
    ? 'The office may send the result to nobody: the time of those who were named is over.'
    : 'The office may send the result to nobody yet: no owner is on record, and nobody ordered it.'
}
