import type { Instant } from '../facts.ts'
import type { BookingFacts, StayFacts } from './monitor-facts.ts'

/** The shortest test a monitor makes: 48 hours, 25 Pa. Code § 240.310(a)(4)(ii). */
export const shortestTestMs = 48 * 3_600_000

export type PickUp = { readonly at: Instant; readonly because: 'visit' | 'booking' | 'shortest-test' }

/** When a monitor that stands at a home is fetched: by the visit planned for it, its booking, or after the shortest test. */
export function pickUpOf(stay: StayFacts, bookings: readonly BookingFacts[]): PickUp {
  if (stay.visitAt !== null) return { at: stay.visitAt, because: 'visit' }
  const booked = bookingOf(stay, bookings)
  if (booked) return { at: booked.until, because: 'booking' }
  return { at: stay.since + shortestTestMs, because: 'shortest-test' }
}

const dayMs = 86_400_000

/** The booking that a stay makes use of: the same home, begun by then or within a day of it. */
export const bookingOf = (
  { propertyId, since }: Pick<StayFacts, 'propertyId' | 'since'>,
  bookings: readonly BookingFacts[],
): BookingFacts | undefined =>
  bookings.find(one => one.propertyId === propertyId && since >= one.from - dayMs && since < one.until)
