import { localDayOf } from '../calendar/local-day.ts'
import type { Instant, LocalDay } from '../facts.ts'
import type { AbsenceFacts, AbsenceKind, BookingFacts, MonitorFacts, StayFacts } from './monitor-facts.ts'
import { bookingOf, type PickUp, pickUpOf } from './pick-up.ts'

export type Place =
  | { readonly kind: 'home'; readonly stay: StayFacts; readonly pickUp: PickUp; readonly late: boolean }
  | {
      readonly kind: 'away'
      readonly absenceId: string
      readonly reason: Exclude<AbsenceKind, 'lost'>
      readonly at: string
      readonly since: LocalDay
      readonly expectedBackOn: LocalDay | null
      readonly late: boolean
    }
  | { readonly kind: 'lost'; readonly absenceId: string; readonly since: LocalDay; readonly lastAt: StayFacts | null }
  | { readonly kind: 'retired'; readonly since: Instant }
  | { readonly kind: 'shop' }

export type Whereabouts = {
  readonly place: Place
  /** The next booking that has not been made use of yet. */
  readonly next: BookingFacts | null
  /** The last day of the calibration that holds longest; null where none is recorded. */
  readonly calibratedUntil: LocalDay | null
}

/** Where a monitor is, until when, and where it goes next: all of it follows from what was recorded. */
export function whereaboutsOf(facts: MonitorFacts, now: Instant): Whereabouts {
  const stay = standingAt(facts, now)
  return {
    place: placeOf(facts, stay, now),
    next: bookingsAhead(facts, stay, now)[0] ?? null,
    calibratedUntil: calibratedUntil(facts),
  }
}

function placeOf(facts: MonitorFacts, stay: StayFacts | null, now: Instant): Place {
  const today = localDayOf(now, facts.zone)
  const absence = openAbsence(facts, today)
  if (absence?.kind === 'lost') return { kind: 'lost', absenceId: absence.id, since: absence.fromOn, lastAt: stay }
  if (stay) {
    const pickUp = pickUpOf(stay, facts.bookings)
    return { kind: 'home', stay, pickUp, late: localDayOf(pickUp.at, stay.zone) < localDayOf(now, stay.zone) }
  }
  if (absence) {
    const { id, kind, place, fromOn, expectedBackOn } = absence
    const late = expectedBackOn !== null && expectedBackOn < today
    return { kind: 'away', absenceId: id, reason: kind as 'repair', at: place, since: fromOn, expectedBackOn, late }
  }
  if (facts.retiredAt !== null && facts.retiredAt <= now) return { kind: 'retired', since: facts.retiredAt }
  return { kind: 'shop' }
}

/** The home where it stands: of several that say so the one it was set at last. */
const standingAt = ({ stays }: MonitorFacts, now: Instant): StayFacts | null =>
  stays.filter(stay => stay.since <= now).reduce<StayFacts | null>(later, null)
const later = (a: StayFacts | null, b: StayFacts): StayFacts => (a && a.since >= b.since ? a : b)

const openAbsence = ({ absences }: MonitorFacts, today: LocalDay): AbsenceFacts | undefined =>
  absences.find(({ fromOn, backOn }) => fromOn <= today && (backOn === null || backOn > today))

const bookingsAhead = (facts: MonitorFacts, stay: StayFacts | null, now: Instant): readonly BookingFacts[] => {
  const used = stay ? bookingOf(stay, facts.bookings) : undefined
  return facts.bookings.filter(one => one !== used && one.until > now).sort((a, b) => a.from - b.from)
}

const calibratedUntil = ({ calibrations }: MonitorFacts): LocalDay | null =>
  calibrations
    .map(({ validUntil }) => validUntil)
    .sort()
    .at(-1) ?? null
