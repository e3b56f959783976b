import type { RuleRef } from '../answers.ts'
import { periodWords } from '../calendar/day-sums.ts'
import { localDayOf } from '../calendar/local-day.ts'
import type { Instant } from '../facts.ts'
import { lengthText } from '../series/slots.ts'
import type { ClosingContext } from './closing-context.ts'
import { withinWords } from './closing-rules.ts'
import type { FreeTimes } from './free-times.ts'
import { firstFrom, lastUpTo } from './intervals.ts'
import { lastWithin, type Moments } from './solve-closing.ts'

/** One step of the reckoning: from one moment by a span to a bound, and from there to a moment somebody is free. */
export type Step = {
  readonly key: keyof FreeTimes
  readonly from: { readonly label: string; readonly at: Instant }
  /** What is taken from it or added to it, in words; the rule that asks for it. */
  readonly by: string
  readonly bound: Instant
  readonly got: Instant
  /** Why it is not the bound itself; null when it is. */
  readonly moved: string | null
  readonly rules: readonly { readonly text: string; readonly rule: RuleRef | null }[]
}
type Direction = 'backward' | 'forward'

/** From the deadline back: pick-up, set, fan start. */
export function stepsBack(moments: Moments, context: ClosingContext): readonly Step[] {
  const { fanStart, set, pickUp } = moments
  const { limits } = context
  const waited = Math.max(limits.afterFanStart, limits.closedBefore)
  const bound = pickUpBound(moments, context)
  const steps: Step[] = [
    step('pickUp', 'backward', context, { ...bound, got: pickUp }),
    step('set', 'backward', context, {
      from: { label: 'pick-up', at: pickUp },
      by: `− ${lengthText(limits.length)}`,
      bound: pickUp - limits.length,
      got: set,
      rules: lengthBind(context),
    }),
  ]
  if (!limits.fixes || fanStart === null) return steps
  const fan = step('fanStart', 'backward', context, {
    from: { label: 'set', at: set },
    by: `− ${lengthText(waited)}`,
    bound: set - waited,
    got: fanStart,
    rules: waitBinds(waited, context),
  })
  return [...steps, fan]
}

/** What the pick-up is bound by: the rule for post-mitigation tests, the devices there are, or the deadline. */
function pickUpBound({ fanStart }: Moments, context: ClosingContext): Pick<Step, 'from' | 'by' | 'bound' | 'rules'> {
  const { limits, deadline, byDeadline, byDevices, byRule, rules } = context
  const allowed = limits.fixes && fanStart !== null ? lastWithin(fanStart, limits) : byRule
  if (fanStart !== null && rules.within && allowed <= limits.pickUpUntil)
    return {
      from: { label: 'fan start', at: fanStart },
      by: `+ ${periodWords(rules.within.value)}`,
      bound: allowed,
      rules: [{ text: withinWords(rules.within), rule: rules.within.ref }],
    }
  if (byDevices < byDeadline)
    return {
      from: { label: 'last day of a device', at: byDevices },
      by: '',
      bound: byDevices,
      rules: [{ text: 'no device is free and in calibration for longer', rule: null }],
    }
  return {
    from: { label: 'deadline', at: deadline },
    by: reportWords(context),
    bound: byDeadline,
    rules: [reportBind(context)],
  }
}

/** From now on: fan start, set, pick-up. */
export function stepsOn({ fanStart, set, pickUp }: Moments, context: ClosingContext): readonly Step[] {
  const { limits, question } = context
  const begun = { label: 'now', at: limits.from }
  const installMs = question.durations.installMinutes * 60_000
  const fan = limits.fixes && fanStart !== null
  const after = fanStart !== null && (fan || fanStart + limits.afterFanStart > limits.from + limits.closedBefore)
  const waited = fan
    ? Math.max(limits.afterFanStart, limits.closedBefore)
    : after
      ? limits.afterFanStart
      : limits.closedBefore
  const from = after ? { label: 'fan start', at: fanStart } : begun
  return [
    ...(fan
      ? [
          step('fanStart', 'forward', context, {
            from: begun,
            by: `+ ${lengthText(installMs)} of work`,
            bound: limits.from + installMs,
            got: fanStart,
            rules: [{ text: `installing takes ${lengthText(installMs)} of work`, rule: null }],
          }),
        ]
      : []),
    step('set', 'forward', context, {
      from,
      by: `+ ${lengthText(waited)}`,
      bound: from.at + waited,
      got: set,
      rules: waitBinds(waited, context),
    }),
    step('pickUp', 'forward', context, {
      from: { label: 'set', at: set },
      by: `+ ${lengthText(limits.length)}`,
      bound: set + limits.length,
      got: pickUp,
      rules: lengthBind(context),
    }),
  ]
}

const step = (
  key: keyof FreeTimes,
  to: Direction,
  context: ClosingContext,
  said: Omit<Step, 'key' | 'moved'>,
): Step => ({
  key,
  ...said,
  moved: whyMoved(key, to, context, said),
})

const lengthBind = ({ rules: { length } }: ClosingContext) =>
  length ? [{ text: length.words, rule: length.rule }] : []

const waitBinds = (waited: number, { rules: { afterFanStart, closedBefore }, limits }: ClosingContext) =>
  [...(limits.fixes || limits.fanStart !== null ? afterFanStart : []), closedBefore]
    .filter(({ ms }) => ms === waited && ms > 0)
    .map(({ words, rule }) => ({ text: words, rule }))

/** What lies between a pick-up and the report, in its order. */
function afterPickUp({ question }: ClosingContext): readonly string[] {
  const { pickUpMinutes, reportMinutes, laboratoryDays } = question.durations
  if (question.asks === 'post-mitigation-test') return []
  const monitor = question.method === 'continuous-monitor'
  return [
    monitor
      ? `${lengthText(pickUpMinutes * 60_000)} of picking up`
      : `${laboratoryDays} whole days for post and laboratory`,
    `${lengthText(reportMinutes * 60_000)} of reporting`,
  ]
}

const reportWords = (context: ClosingContext): string =>
  afterPickUp(context)
    .toReversed()
    .map(part => `− ${part}`)
    .join(' ')

function reportBind(context: ClosingContext) {
  const parts = afterPickUp(context)
  const text =
    parts.length === 0 ? 'the day by which the test must be done' : `after the pick-up: ${parts.join(', then ')}`
  return { text, rule: null }
}

/** What keeps a step from the moment the rules alone would allow. */
function whyMoved(
  key: keyof FreeTimes,
  to: Direction,
  context: ClosingContext,
  { bound, got }: Pick<Step, 'bound' | 'got'>,
): string | null {
  if (got === bound) return null
  const look = to === 'forward' ? firstFrom : lastUpTo
  const { ifAllFree, ifNoHolidays, question } = context
  const free = look(ifAllFree[key], bound)
  const everyDay = look(ifNoHolidays[key], bound)
  const between = [Math.min(bound, got), Math.max(bound, got)].map(at => localDayOf(at, question.hours.zone))
  const holidays = question.hours.holidays.filter(({ day }) => day >= between[0]! && day <= between[1]!)
  const why = [
    ...(everyDay === bound ? [] : ['working hours']),
    ...(free === everyDay ? [] : holidays.map(({ name }) => name)),
    ...(free === got ? [] : ['crews are elsewhere']),
  ]
  return why.join(', ') || 'working hours'
}
