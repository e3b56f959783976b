import { addDays } from '../calendar/day-sums.ts'
import { localDayOf } from '../calendar/local-day.ts'
import type { Instant, LocalDay } from '../facts.ts'
import type { AbsenceFacts, MonitorFacts } from './monitor-facts.ts'
import { pickUpOf } from './pick-up.ts'

/** Why a monitor cannot be where it is wanted: what is in the way, and what to do about it. */
export type Obstacle = {
  readonly code:
    | 'device-elsewhere'
    | 'device-booked'
    | 'device-away'
    | 'device-lost'
    | 'device-retired'
    | 'out-of-calibration'
  readonly detail: string
}

/** A time at a home for which a monitor is wanted; what belongs to the same test or booking is not in its way. */
export type Wanted = {
  readonly propertyId: string
  readonly from: Instant
  readonly until: Instant
  readonly testId?: string
  /** It is being set now: whatever it stands at has to be picked up first, expected to end or not. */
  readonly setting: boolean
}

/** All that keeps a monitor from standing at a home from the first to the last moment wanted. */
export function obstaclesOf(facts: MonitorFacts, wanted: Wanted, now: Instant): readonly Obstacle[] {
  return [
    ...retired(facts, wanted),
    ...absent(facts, wanted, now),
    ...elsewhere(facts, wanted, now),
    ...booked(facts, wanted),
    ...uncalibrated(facts, wanted),
  ]
}

function retired({ retiredAt, name, zone }: MonitorFacts, { until }: Wanted): readonly Obstacle[] {
  if (retiredAt === null || retiredAt >= until) return []
  const detail = `${name} is out of use since ${localDayOf(retiredAt, zone)}: take another monitor`
  return [{ code: 'device-retired', detail }]
}

function absent({ absences, name, zone }: MonitorFacts, wanted: Wanted, now: Instant): readonly Obstacle[] {
  const [first, last] = [localDayOf(wanted.from, zone), localDayOf(wanted.until, zone)]
  const inTheWay = absences.find(one => one.fromOn <= last && lastDayAway(one, wanted.setting, now, zone) >= first)
  if (!inTheWay) return []
  const { kind, fromOn, expectedBackOn, place } = inTheWay
  if (kind === 'lost')
    return [{ code: 'device-lost', detail: `${name} is lost since ${fromOn}: say that it was found, or take another` }]
  const back = expectedBackOn === null ? 'no day is known for its return' : `expected back on ${expectedBackOn}`
  const where = `${name} is away (${kind}${place ? `, ${place}` : ''}) from ${fromOn}, ${back}`
  return [{ code: 'device-away', detail: `${where}: say that it is back first, or take another monitor` }]
}

const lastOfDays = '9999-12-31'
// One that has not come back stays away until somebody says so; a booking may count on the day it is expected. On the
// day it is back it can be taken along.
function lastDayAway(one: AbsenceFacts, setting: boolean, now: Instant, zone: string): LocalDay {
  if (one.backOn !== null) return addDays(one.backOn, -1)
  if (setting || one.expectedBackOn === null || one.kind === 'lost') return lastOfDays
  const today = localDayOf(now, zone)
  return one.expectedBackOn <= today ? today : addDays(one.expectedBackOn, -1)
}
function elsewhere(facts: MonitorFacts, wanted: Wanted, now: Instant): readonly Obstacle[] {
  const others = facts.stays.filter(stay => stay.testId !== wanted.testId && stay.since < wanted.until)
  const holding = others.find(stay => wanted.setting || Math.max(pickUpOf(stay, facts.bookings).at, now) > wanted.from)
  if (!holding) return []
  const since = localDayOf(holding.since, holding.zone)
  const detail = `${facts.name} stands at ${holding.home ?? 'another home'} since ${since}`
  const remedy = wanted.setting
    ? 'say first when it was picked up there, or take another monitor'
    : `it is picked up there on ${localDayOf(pickUpOf(holding, facts.bookings).at, holding.zone)} at the earliest; take a later time or another monitor`
  return [{ code: 'device-elsewhere', detail: `${detail}: ${remedy}` }]
}

function booked({ bookings, name, zone }: MonitorFacts, wanted: Wanted): readonly Obstacle[] {
  // What is set at a home makes use of that home's booking; a second booking never does.
  const other = bookings.find(
    one =>
      !(wanted.setting && one.propertyId === wanted.propertyId) && one.from < wanted.until && one.until > wanted.from,
  )
  if (!other) return []
  const days = `${localDayOf(other.from, zone)} to ${localDayOf(other.until, zone)}`
  const detail = `${name} is booked for ${other.home ?? 'another home'} from ${days}: end that booking, or take another monitor`
  return [{ code: 'device-booked', detail }]
}

function uncalibrated(facts: MonitorFacts, wanted: Wanted): readonly Obstacle[] {
  const { calibrations, name, zone } = facts
  const { until } = wanted
  // None on record says nothing of the monitor: the test carries a note then.
  if (calibrations.length === 0 || calibratedBefore(facts, wanted)) return []
  const last = localDayOf(until - 1, zone)
  if (calibrations.some(({ calibratedOn, validUntil }) => calibratedOn <= last && validUntil >= last)) return []
  const ends = calibrations
    .map(({ validUntil }) => validUntil)
    .sort()
    .at(-1)
  const detail = `The calibration of ${name} ends on ${ends}, before the test does on ${last}: record its next calibration, or that it is sent there in time, or take another monitor`
  return [{ code: 'out-of-calibration', detail }]
}

// What is booked may count on a calibration that is planned, and back by then; what is set may not.
const calibratedBefore = ({ absences, zone }: MonitorFacts, { setting, from }: Wanted): boolean =>
  !setting &&
  absences.some(
    ({ kind, backOn, expectedBackOn }) =>
      kind === 'calibration' && backOn === null && expectedBackOn !== null && expectedBackOn <= localDayOf(from, zone),
  )
