import type { LocalDay } from '../facts.ts'
import { holdsOn, type WorkParty } from './work-party.ts'

/** Who a result may be sent to, and what that follows from. */
export type Receivers = {
  readonly because: 'named' | 'ordered' | 'owner' | 'nobody'
  readonly customerIds: readonly string[]
}

/**
 * Who may be sent a test's result on a day. Those named as allowed to see it, and nobody else, even when their time is
 * over; where nobody was ever named, whoever ordered the test; else the owner of the home. Common practice, no source:
 * a result belongs to the client.
 */
export function receiversOf(parties: readonly WorkParty[], ownerId: string | null, today: LocalDay): Receivers {
  const named = parties.filter(({ part }) => part === 'may-see')
  if (named.length > 0) return { because: 'named', customerIds: idsOn(named, today) }
  const ordered = idsOn(
    parties.filter(({ part }) => part === 'ordered'),
    today,
  )
  if (ordered.length > 0) return { because: 'ordered', customerIds: ordered }
  return ownerId === null ? { because: 'nobody', customerIds: [] } : { because: 'owner', customerIds: [ownerId] }
}

const idsOn = (parties: readonly WorkParty[], day: LocalDay): string[] => [
  ...new Set(parties.filter(party => holdsOn(party, day)).map(({ customerId }) => customerId)),
]
