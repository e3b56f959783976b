import type { ExposureFacts, Instant, TestFacts } from '../facts.ts'
import { HOUR_MS, reachesHours } from '../series/slots.ts'
import { type AllowedDropping, type UsableWindow, usableWindowOf, type WindowLimits } from '../series/usable-window.ts'
import { lastFanStart } from './fan-history.ts'
import { lengthOf, type Period, periodOf, systemsOf, type TestContext } from './test-context.ts'

/** Why the first hours of a test do not count, beyond equilibrium. */
export type Lateness = {
  /** The house was closed too late for a short test: it counts as closed from here on. */
  readonly closedFrom: Instant | null
  /** The fan came on too late: it counts as running long enough from here on. */
  readonly fanFrom: Instant | null
}

export type RecordWindow = UsableWindow & {
  readonly limits: WindowLimits
  /** True when hours were dropped for a late closing or a late fan. */
  readonly dropsForLateness: boolean
}

/** Tests longer than the rule's hours are long-term; `null` when the length is not known. */
export function termOf(period: Period, { policy }: TestContext): 'short' | 'long' | null {
  const length = lengthOf(period)
  const rule = policy.rules.longTermHours
  if (length === null) return null
  return rule && reachesHours(length, rule.value) ? 'long' : 'short'
}

/** Late closing and late fan start of an exposure, by the rules; both null for a test in order or one with unknown times. */
export function latenessOf(period: Period, test: TestFacts, context: TestContext): Lateness {
  const { rules } = context.policy
  const length = lengthOf(period)
  if (length === null) return { closedFrom: null, fanFrom: null }
  const from = period.from!
  const under = (rule: { readonly value: number } | undefined) =>
    rule !== undefined && !reachesHours(length, rule.value)
  const closedBefore =
    rules.closedBeforeHours && under(rules.closedBeforeUnderHours) ? rules.closedBeforeHours.value * HOUR_MS : 0
  const closing =
    rules.closedBeforeHours && !beyond(length, rules.closedDuringUpToHours?.value) ? test.closedSince : null
  const closedLate = closing !== null && (closing > from || from - closing < closedBefore)
  const fanBefore =
    rules.fanRunningHours && under(rules.fanRunningUnderHours) ? rules.fanRunningHours.value * HOUR_MS : 0
  const beforeMitigation = test.purpose === 'pre-mitigation'
  const last = beforeMitigation ? null : lastFanStart(systemsOf(test, context), period.to!, context.zone)
  const start = last && last.earliest === last.latest ? last.latest : null
  const fanLate = rules.fanRunningHours && start !== null && (start > from || from - start < fanBefore)
  return {
    closedFrom: closedLate ? closing + rules.closedBeforeHours!.value * HOUR_MS : null,
    fanFrom: fanLate ? start + rules.fanRunningHours.value * HOUR_MS : null,
  }
}

const beyond = (length: number, hours: number | undefined): boolean => hours !== undefined && length > hours * HOUR_MS

/** What counts of an exposure's record; `null` without a record. */
export function recordWindowOf(exposure: ExposureFacts, test: TestFacts, context: TestContext): RecordWindow | null {
  const { series } = exposure
  if (!series || series.values.length === 0) return null
  const period = periodOf(exposure, test)
  const { closedFrom, fanFrom } = latenessOf(period, test, context)
  const equilibrium = context.policy.rules.equilibriumHours
  const droppings: AllowedDropping[] = []
  if (equilibrium && !series.deviceCorrectedFirstHours)
    droppings.push({ why: 'equilibrium', until: (period.from ?? series.startAt) + equilibrium.value * HOUR_MS })
  if (closedFrom !== null) droppings.push({ why: 'closed-building', until: closedFrom })
  if (fanFrom !== null) droppings.push({ why: 'fan-start', until: fanFrom })
  const limits: WindowLimits = {
    placedFrom: exposure.startAt ?? test.setAt,
    placedTo: exposure.stopAt ?? test.pickedUpAt,
    droppings,
    contiguous: termOf(period, context) !== 'long',
  }
  return { ...usableWindowOf(series, limits), limits, dropsForLateness: closedFrom !== null || fanFrom !== null }
}

/** The hours that must hang together: more of them after a late closing or a late fan. */
export function contiguousHoursRule(window: RecordWindow, { policy: { rules } }: TestContext) {
  const late = window.dropsForLateness ? rules.usableHoursAfterDropping : undefined
  return late ?? rules.usableHours
}

/** Whether what is left of a record is enough by the contiguous-hours rule. */
export function enoughLeft(window: RecordWindow | null, context: TestContext): boolean {
  if (!window || window.from === null || window.to === null) return false
  const rule = contiguousHoursRule(window, context)
  return !rule || reachesHours(window.to - window.from, rule.value)
}
