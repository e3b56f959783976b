import type { MonitorFacts } from './monitor-facts.ts'
import { bookingOf } from './pick-up.ts'

/**
 * A monitor's facts as they are for a booking that is moved: neither its old time nor, where it stays at its home, the
 * test that makes use of it is in its way.
 */
export function withoutBooking(facts: MonitorFacts, bookingId: string, propertyId: string): MonitorFacts {
  const own = facts.bookings.find(({ id }) => id === bookingId)
  if (!own) return facts
  return {
    ...facts,
    bookings: facts.bookings.filter(one => one !== own),
    stays: facts.stays.filter(stay => stay.propertyId !== propertyId || bookingOf(stay, [own]) !== own),
  }
}
