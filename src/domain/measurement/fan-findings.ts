import type { Finding } from '../answers.ts'
import type { ExposureFacts, TestFacts } from '../facts.ts'
import { HOUR_MS, lengthText } from '../series/slots.ts'
import { lastFanStart, notYetStarted, offWithin } from './fan-history.ts'
import { invalidates, warns } from './finding.ts'
import { type Period, periodOf, systemsOf, type TestContext } from './test-context.ts'
import { enoughLeft, latenessOf, type RecordWindow } from './window-limits.ts'

/** Whether the fan had run long enough before the test. */
export function fanFindings(
  exposure: ExposureFacts,
  test: TestFacts,
  window: RecordWindow | null,
  context: TestContext,
): readonly Finding[] {
  const rule = context.policy.rules.fanRunningHours
  const period = periodOf(exposure, test)
  if (!rule || test.purpose === 'pre-mitigation' || period.from === null || period.to === null) return []
  const systems = systemsOf(test, context)
  const about = {
    exposureId: exposure.id,
    rule: rule.ref,
    allowed: `the fan running for at least ${rule.value} h before the test`,
  }
  const start = lastFanStart(systems, period.to, context.zone)
  if (!start)
    return test.purpose === 'post-mitigation'
      ? [warns('fan-running', { ...about, found: 'its start is not recorded' })]
      : []
  if (start.earliest !== start.latest) {
    const late = start.latest > period.from - rule.value * HOUR_MS
    return late ? [warns('fan-running', { ...about, found: 'its start is known only roughly' })] : []
  }
  if (latenessOf(period, test, context).fanFrom === null) return []
  const early = period.from - start.latest
  const found =
    early >= 0 ? `started ${lengthText(early)} before` : `started ${lengthText(-early)} after the test began`
  return window && enoughLeft(window, context)
    ? [warns('fan-running', { ...about, at: start.latest, found: `${found}; those hours are left out` })]
    : [invalidates('fan-running', { ...about, at: start.latest, found })]
}

/** Whether the system ran during a test that is to show what it does. */
export function systemFindings(test: TestFacts, period: Period, context: TestContext): readonly Finding[] {
  // What was measured before a system first started was measured without one, whatever the test was made for.
  const systems = systemsOf(test, context).filter(
    system => period.to === null || !notYetStarted(system, period.to, context.zone),
  )
  if (test.purpose === 'pre-mitigation' || systems.length === 0) return []
  const about = { rule: null, allowed: 'the system running all through' }
  const off =
    period.from === null || period.to === null ? null : offWithin(systems, period.from, period.to, context.zone)
  if (off)
    return [
      invalidates('system-off', {
        ...about,
        at: off.from,
        found: `off for ${lengthText(off.to - off.from)} of the test`,
      }),
    ]
  if (test.systemRunning === 'no') return [invalidates('system-off', { ...about, found: 'noted as not running' })]
  return test.systemRunning === 'unknown' ? [warns('system-off', { ...about, found: 'not recorded' })] : []
}
