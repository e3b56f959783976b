import type { LocalDay } from '../facts.ts'
import { type JoinedSpan, joinedOwnerships, joinedParts, type Span } from './joined-spans.ts'

/** Somebody's time in a part: of one home, or of one piece of work. */
export type Time = Span & { readonly customerId: string; readonly propertyId: string; readonly part: string }

/** What becomes of a time once two entries are one; a field that is left out stays. */
export type TimeChange = {
  readonly id: string
  readonly customerId?: string
  readonly untilOn?: LocalDay | null
  /** Another one takes its place. */
  readonly gone?: true
}
export type Merge = { readonly fromId: string; readonly toId: string }

/** Ownerships of homes, all owners' in: those of both entries become one stretch where nobody else owned in between. */
export function ownershipsAfter(owners: readonly Time[], merge: Merge): TimeChange[] {
  const own = owners.filter(owner => isOf(owner, merge))
  return groups(own).flatMap(times => {
    const others = owners.filter(other => other.propertyId === times[0]!.propertyId && !isOf(other, merge))
    return changesOf(joinedOwnerships(times, others), times, merge)
  })
}

/** Other parts: one where they overlap or touch. Nobody owns a home beside themselves. */
export function partsAfter(people: readonly Time[], owners: readonly Time[], merge: Merge): TimeChange[] {
  const own = people.filter(person => isOf(person, merge))
  const beside = own.filter(
    person =>
      person.part === 'co-owner' &&
      owners.some(owner => owner.propertyId === person.propertyId && isOf(owner, merge) && covers(owner, person)),
  )
  const rest = groups(own.filter(person => !beside.includes(person)))
  return [
    ...beside.map(({ id }) => ({ id, gone: true as const })),
    ...rest.flatMap(times => changesOf(joinedParts(times), times, merge)),
  ]
}

const isOf = ({ customerId }: Time, { fromId, toId }: Merge): boolean => customerId === fromId || customerId === toId
const covers = (whole: Span, part: Span): boolean =>
  (whole.fromOn === null || (part.fromOn !== null && whole.fromOn <= part.fromOn)) &&
  (whole.untilOn === null || (part.untilOn !== null && part.untilOn <= whole.untilOn))

/** Times by the part and the thing they are of. */
const groups = (times: readonly Time[]): Time[][] => {
  const found = new Map<string, Time[]>()
  for (const time of times) {
    const key = `${time.propertyId} ${time.part}`
    found.set(key, [...(found.get(key) ?? []), time])
  }
  return [...found.values()]
}

const changesOf = (joined: readonly JoinedSpan[], times: readonly Time[], { fromId, toId }: Merge): TimeChange[] =>
  joined
    .filter(({ kept, gone }) => times.some(time => time.customerId === fromId && [kept.id, ...gone].includes(time.id)))
    .flatMap(({ kept, gone }) => {
      const was = times.find(({ id }) => id === kept.id)!
      const change = {
        id: kept.id,
        ...(was.customerId === toId ? {} : { customerId: toId }),
        ...(was.untilOn === kept.untilOn ? {} : { untilOn: kept.untilOn }),
      }
      return [...gone.map(id => ({ id, gone: true as const })), ...(Object.keys(change).length > 1 ? [change] : [])]
    })
