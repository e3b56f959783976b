import type { Finding } from '../answers.ts'
import type { TestFacts } from '../facts.ts'
import { closedBeforeFindings, conditionFindings } from './condition-findings.ts'
import { deviceFindings, valueFindings } from './device-findings.ts'
import { fanFindings, systemFindings } from './fan-findings.ts'
import { lengthFindings, recordFindings } from './length-findings.ts'
import { pairFindings } from './pairs.ts'
import { placementFindings } from './placement-findings.ts'
import { counts, lengthOf, periodOfTest, type TestContext } from './test-context.ts'
import { type RecordWindow, recordWindowOf } from './window-limits.ts'

/** Everything in a test that departs from the rules of its day, or that nobody wrote down. Blanks and spikes are not looked at. */
export function findingsOf(test: TestFacts, context: TestContext): readonly Finding[] {
  const period = periodOfTest(test)
  const counting = test.exposures.filter(counts)
  return [
    ...conditionFindings(test, lengthOf(period), context),
    ...systemFindings(test, period, context),
    ...counting.flatMap(exposure => {
      const window: RecordWindow | null = recordWindowOf(exposure, test, context)
      return [
        ...lengthFindings(exposure, test, context),
        ...recordFindings(exposure, window, context),
        ...closedBeforeFindings(exposure, test, window, context),
        ...fanFindings(exposure, test, window, context),
        ...deviceFindings(exposure, test, context),
        ...placementFindings(exposure, context),
        ...valueFindings(exposure),
      ]
    }),
    ...pairFindings(test, context),
  ]
}
