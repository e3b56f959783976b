import type { Finding } from '../answers.ts'
import { localDayOf } from '../calendar/local-day.ts'
import type { ExposureFacts, TestFacts, TestMethod } from '../facts.ts'
import { HOUR_MS, lengthText, reachesHours } from '../series/slots.ts'
import { invalidates, warns } from './finding.ts'
import { lengthOf, periodOf, type TestContext } from './test-context.ts'
import { contiguousHoursRule, enoughLeft, type RecordWindow } from './window-limits.ts'

/** How long the device measured, and in which season. */
export function lengthFindings(exposure: ExposureFacts, test: TestFacts, context: TestContext): readonly Finding[] {
  const { rules } = context.policy
  const period = periodOf(exposure, test)
  const length = lengthOf(period)
  const minimum = shortestFor(test.method, rules.minimumHours?.value)
  const at = { exposureId: exposure.id, rule: rules.minimumHours?.ref ?? null }
  if (minimum === null) return []
  const allowed = `at least ${lengthText(minimum.least * HOUR_MS)}`
  if (length === null) return [warns('duration', { ...at, allowed, found: 'start or end not recorded' })]
  if (length <= 0) return [invalidates('duration', { ...at, allowed, found: 'ends before it begins', at: period.to })]
  const season = seasonFindings(exposure, period, context)
  if (reachesHours(length, minimum.most)) return season
  const found = { ...at, allowed, found: lengthText(length), at: period.to }
  const perhapsShort = reachesHours(length, minimum.least)
  const short = perhapsShort
    ? warns('duration', { ...found, ...unsure(minimum, length) })
    : invalidates('duration', found)
  return [short, ...season]
}

type Minimum = { readonly least: number; readonly most: number }

// Where the method is not known, every method asks for the least of all, and some method for the most.
function shortestFor(method: TestMethod, hours: Partial<Record<string, number>> = {}): Minimum | null {
  const known = Object.values(method === 'unknown' ? hours : { [method]: hours[method] }).filter(
    value => value !== undefined,
  )
  return known.length === 0 ? null : { least: Math.min(...known), most: Math.max(...known) }
}

const unsure = ({ least, most }: Minimum, length: number) => ({
  allowed: `at least ${lengthText(least * HOUR_MS)}, with some methods ${lengthText(most * HOUR_MS)}`,
  found: `${lengthText(length)}, the method not known`,
})

function seasonFindings(
  exposure: ExposureFacts,
  period: { readonly from: number | null; readonly to: number | null },
  context: TestContext,
): readonly Finding[] {
  const rule = context.policy.rules.allowedSeason
  if (!rule) return []
  const { from, until } = rule.value
  const within = (at: number): boolean => {
    const day = localDayOf(at, context.zone).slice(5)
    return from <= until ? day >= from && day <= until : day >= from || day <= until
  }
  if (within(period.from!) && within(period.to!)) return []
  const found = `${localDayOf(period.from!, context.zone)} to ${localDayOf(period.to!, context.zone)}`
  return [
    warns('season', {
      exposureId: exposure.id,
      at: period.from,
      allowed: `between ${from} and ${until}`,
      found,
      rule: rule.ref,
    }),
  ]
}

/** Breaks in a record, and whether enough hours hang together. */
export function recordFindings(
  exposure: ExposureFacts,
  window: RecordWindow | null,
  context: TestContext,
): readonly Finding[] {
  if (!window) return []
  const { equilibriumHours } = context.policy.rules
  const rule = contiguousHoursRule(window, context)
  const enough = enoughLeft(window, context)
  const gaps = window.gaps.map(gap =>
    warns('gap', {
      exposureId: exposure.id,
      at: gap.from,
      allowed: 'a record without a break',
      found: `no reading for ${lengthText(gap.to - gap.from)}`,
      rule: rule?.ref ?? equilibriumHours?.ref ?? null,
    }),
  )
  if (!rule || enough || !window.limits.contiguous) return gaps
  const left = window.from === null ? 0 : window.to! - window.from
  const broke = window.gaps[0]?.from ?? window.to
  const found = `${lengthText(left)}${window.gaps.length > 0 ? ', then the record breaks' : ''}`
  const allowed = `at least ${lengthText(rule.value * HOUR_MS)} without a break${window.dropsForLateness ? ' after the hours dropped' : ''}`
  return [
    ...gaps,
    invalidates('contiguous-hours', { exposureId: exposure.id, at: broke, allowed, found, rule: rule.ref }),
  ]
}
