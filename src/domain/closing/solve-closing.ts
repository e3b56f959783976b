import { addDays, addPeriod, type Period } from '../calendar/day-sums.ts'
import { endOfDay, localDayOf, startOfDay } from '../calendar/local-day.ts'
import type { Instant } from '../facts.ts'
import type { FreeTimes } from './free-times.ts'
import { firstFrom, lastUpTo } from './intervals.ts'

/** What every plan has to keep to. Each is a bound on one moment, or a least or greatest span between two. */
export type Limits = {
  /** Nothing begins before it. */
  readonly from: Instant
  readonly pickUpUntil: Instant
  /** A known fan start; null where the plan has one of its own, or none matters. */
  readonly fanStart: Instant | null
  /** Whether the plan starts a fan. */
  readonly fixes: boolean
  /** From fan start to set. */
  readonly afterFanStart: number
  readonly closedBefore: number
  readonly length: number
  /** From the plan's own fan start to pick-up at most, by whole days in `zone`; null: no limit. */
  readonly within: Period | null
  readonly zone: string
}

/** The moments that make a plan. `fanStart` is null where no fan matters. */
export type Moments = { readonly fanStart: Instant | null; readonly set: Instant; readonly pickUp: Instant }

/** The last moment of a pick-up that the rule for post-mitigation tests allows after a fan start. */
export const lastWithin = (fanStart: Instant, { within, zone }: Limits): Instant =>
  within === null ? Number.POSITIVE_INFINITY : endOfDay(addPeriod(localDayOf(fanStart, zone), within), zone)

/** The first moment a fan may have come on whose test may still be picked up at `pickUp`. */
function fanStartReaching(pickUp: Instant, from: Instant, limits: Limits): Instant {
  let day = localDayOf(from, limits.zone)
  while (lastWithin(startOfDay(day, limits.zone), limits) < pickUp) day = addDays(day, 1)
  return Math.max(from, startOfDay(day, limits.zone))
}

/**
 * The earliest of all plans, whenever it ends; null when there is none. All limits are differences between two moments,
 * so that the plan with every moment as early as in any plan is a plan itself; likewise the latest one.
 */
export function earliestMoments(times: FreeTimes, limits: Limits): Moments | null {
  let fanFrom = limits.from
  for (;;) {
    const fanStart = limits.fixes ? firstFrom(times.fanStart, fanFrom) : limits.fanStart
    if (limits.fixes && fanStart === null) return null
    const closed = limits.fixes && fanStart !== null ? fanStart : limits.from
    const waited = Math.max(closed + limits.closedBefore, fanStart === null ? 0 : fanStart + limits.afterFanStart)
    const set = firstFrom(times.set, Math.max(waited, limits.from))
    const pickUp = set === null ? null : firstFrom(times.pickUp, set + limits.length)
    if (set === null || pickUp === null) return null
    if (!limits.fixes || fanStart === null || pickUp <= lastWithin(fanStart, limits)) return { fanStart, set, pickUp }
    fanFrom = fanStartReaching(pickUp, fanStart, limits)
  }
}

/** The latest of all plans that keep to every limit; null when there is none. */
export function latestMoments(times: FreeTimes, limits: Limits): Moments | null {
  let until = limits.pickUpUntil
  for (;;) {
    const pickUp = lastUpTo(times.pickUp, until)
    const set = pickUp === null ? null : lastUpTo(times.set, pickUp - limits.length)
    if (pickUp === null || set === null) return null
    if (!limits.fixes) return keepsFromStart(set, limits) ? { fanStart: limits.fanStart, set, pickUp } : null
    const fanStart = lastUpTo(times.fanStart, set - Math.max(limits.afterFanStart, limits.closedBefore))
    if (fanStart === null) return null
    if (pickUp <= lastWithin(fanStart, limits)) return { fanStart, set, pickUp }
    until = lastWithin(fanStart, limits)
  }
}

function keepsFromStart(set: Instant, { from, closedBefore, fanStart, afterFanStart }: Limits): boolean {
  return set >= from + closedBefore && (fanStart === null || set >= fanStart + afterFanStart)
}
