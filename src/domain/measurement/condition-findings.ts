import type { Finding, RuleRef } from '../answers.ts'
import type { ExposureFacts, TestFacts, YesNoUnknown } from '../facts.ts'
import { HOUR_MS, lengthText, reachesHours } from '../series/slots.ts'
import { invalidates, warns } from './finding.ts'
import { lengthOf, periodOf, type TestContext } from './test-context.ts'
import { enoughLeft, latenessOf, type RecordWindow } from './window-limits.ts'

const shorterThan = (length: number, rule: { readonly value: number } | undefined): boolean =>
  rule !== undefined && !reachesHours(length, rule.value)

/** Whether the building was closed in time before a short test, or what makes up for it. */
export function closedBeforeFindings(
  exposure: ExposureFacts,
  test: TestFacts,
  window: RecordWindow | null,
  context: TestContext,
): readonly Finding[] {
  const { closedBeforeHours: rule, closedBeforeUnderHours, extendedHoursWhenNotClosed: extended } = context.policy.rules
  const period = periodOf(exposure, test)
  const length = lengthOf(period)
  if (!rule || length === null) return []
  const about = {
    exposureId: exposure.id,
    rule: rule.ref,
    allowed: `closed for at least ${rule.value} h before the test`,
  }
  if (test.closedSince === null)
    return shorterThan(length, closedBeforeUnderHours)
      ? [warns('closed-before', { ...about, found: 'not recorded' })]
      : []
  if (latenessOf(period, test, context).closedFrom === null) return []
  const early = period.from! - test.closedSince
  const found = early >= 0 ? `closed ${lengthText(early)} before` : `closed ${lengthText(-early)} after the start`
  const told = { ...about, at: test.closedSince, found }
  if (window && enoughLeft(window, context))
    return [warns('closed-before', { ...told, found: `${found}; those hours are left out` })]
  const made = extended && reachesHours(period.to! - test.closedSince, extended.value)
  return made
    ? [
        warns('closed-before', {
          ...told,
          found: `${found}; made up for by ${lengthText(period.to! - test.closedSince)} closed`,
          rule: extended.ref,
        }),
      ]
    : [invalidates('closed-before', told)]
}

type Asked = { readonly code: string; readonly allowed: string; readonly bad: string; readonly rule: RuleRef | null }

function answered(answer: YesNoUnknown, wrong: YesNoUnknown, { code, allowed, bad, rule }: Asked): readonly Finding[] {
  if (answer === wrong) return [invalidates(code, { allowed, found: bad, rule })]
  return answer === 'unknown' ? [warns(code, { allowed, found: 'not recorded', rule })] : []
}

/** Conditions of the whole test: closed all through, weather, meddling. `length` null when it is not known. */
export function conditionFindings(test: TestFacts, length: number | null, context: TestContext): readonly Finding[] {
  const { closedDuringUpToHours: closed, severeWeatherUnderHours: weather } = context.policy.rules
  const closedApplies = closed && (length === null || length <= closed.value * HOUR_MS)
  const weatherApplies = weather && (length === null || shorterThan(length, weather))
  return [
    ...(closedApplies
      ? answered(test.closedDuring, 'no', {
          code: 'closed-during',
          allowed: 'closed all through the test',
          bad: 'not kept closed',
          rule: closed.ref,
        })
      : []),
    ...(weatherApplies
      ? answered(test.severeWeather, 'yes', {
          code: 'severe-weather',
          allowed: 'no severe storm or high wind',
          bad: 'severe weather during the test',
          rule: weather.ref,
        })
      : []),
    ...answered(test.tampering, 'yes', {
      code: 'tampering',
      allowed: 'left undisturbed',
      bad: 'signs of tampering',
      rule: null,
    }),
  ]
}
