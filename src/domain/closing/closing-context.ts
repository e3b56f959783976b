import { addPeriod } from '../calendar/day-sums.ts'
import { endOfDay, localDayOf } from '../calendar/local-day.ts'
import type { Span } from '../calendar/working-hours.ts'
import type { Instant } from '../facts.ts'
import type { ClosingDevice, ClosingQuestion, CrewTime } from './closing-question.ts'
import { type ClosingRules, longest } from './closing-rules.ts'
import { daysWorked, type FreeTimes, freeTimesOf, horizonOf, timesOfAll } from './free-times.ts'
import { pickUpFor } from './reporting.ts'
import type { Limits } from './solve-closing.ts'

/** Everything a closing is reckoned from, worked out once. */
export type ClosingContext = {
  readonly question: ClosingQuestion
  readonly rules: ClosingRules
  readonly deadline: Instant
  /** The stretches worked on each day from now to well beyond the deadline. */
  readonly days: readonly (readonly Span[])[]
  readonly crews: readonly { readonly crew: CrewTime; readonly times: FreeTimes }[]
  readonly times: FreeTimes
  /** The same if nobody were elsewhere, and if no day were a holiday besides: to tell what a step waits for. */
  readonly ifAllFree: FreeTimes
  readonly ifNoHolidays: FreeTimes
  /** The last moment of a pick-up by the deadline, and by the devices there are. */
  readonly byDeadline: Instant
  readonly byDevices: Instant
  /** The last moment by the rule for post-mitigation tests, of a fan that runs already and while it is not past. */
  readonly byRule: Instant
  readonly limits: Limits
}

const somebody: CrewTime = { id: '', name: '', busy: [] }

export function contextOf(question: ClosingQuestion, rules: ClosingRules, deadline: Instant): ClosingContext {
  const { now, asks, hours, durations, devices, zone, mitigated } = question
  const span = horizonOf(now, deadline)
  const days = daysWorked(hours, span)
  const crews = (question.crews.length > 0 ? question.crews : [somebody]).map(crew => ({
    crew,
    times: freeTimesOf(days, crew, durations),
  }))
  const fixes = asks === 'fix-and-result'
  const testOnly = asks === 'post-mitigation-test'
  const byDeadline = testOnly ? deadline : (pickUpFor(deadline, question, days.flat()) ?? Number.NEGATIVE_INFINITY)
  const byDevices = devices === null ? Number.POSITIVE_INFINITY : lastGood(devices, zone)
  const rule = testOnly ? lastDayOfRule(question, rules) : null
  const byRule = rule === null || rule < now ? Number.POSITIVE_INFINITY : rule
  return {
    ...{ question, rules, deadline, days, crews, byDeadline, byDevices, byRule },
    times: timesOfAll(crews.map(({ times }) => times)),
    ifAllFree: freeTimesOf(days, somebody, durations),
    ifNoHolidays: freeTimesOf(daysWorked({ ...hours, holidays: [] }, span), somebody, durations),
    limits: {
      ...{ from: span.from, fixes, length: rules.length?.ms ?? 0, zone },
      pickUpUntil: Math.min(byDeadline, byDevices, byRule),
      fanStart: !fixes && mitigated ? (question.fanStart?.latest ?? null) : null,
      // One who installs sets the device afterwards, not meanwhile.
      afterFanStart: Math.max(longest(rules.afterFanStart), fixes ? durations.setMinutes * 60_000 : 0),
      closedBefore: rules.closedBefore.ms,
      within: fixes ? (rules.within?.value ?? null) : null,
    },
  }
}

/** The last day on which the rule wants the test of a fan that runs already to be done; null where it says none. */
export function lastDayOfRule({ fanStart, zone }: ClosingQuestion, { within }: ClosingRules): Instant | null {
  return fanStart && within ? endOfDay(addPeriod(localDayOf(fanStart.latest, zone), within.value), zone) : null
}

export const lastGoodOf = ({ goodUntil }: ClosingDevice, zone: string): Instant =>
  goodUntil === null ? Number.POSITIVE_INFINITY : endOfDay(goodUntil, zone)

const lastGood = (devices: readonly ClosingDevice[], zone: string): Instant =>
  Math.max(Number.NEGATIVE_INFINITY, ...devices.map(device => lastGoodOf(device, zone)))
