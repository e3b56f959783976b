import type { EvaluatedTest, VerdictOutcome } from '../answers.ts'
import type { ResolvedPolicy } from '../policy/resolved-policy.ts'
import { compareWithLevel } from '../verdict/compare-with-level.ts'
import { outcomeOfPoint, severity } from '../verdict/outcome-of-point.ts'
import { pointsOf } from '../verdict/test-points.ts'

/**
 * What a test with results says alone against the level of its day: of the places a verdict looks at, the worst. Whether
 * it decides, or wants another test beside it, is the verdict's.
 */
export function testOutcomeOf(test: EvaluatedTest, law: ResolvedPolicy): VerdictOutcome {
  if (!law.level) return 'undetermined'
  const outcomes = pointsOf(test, law, law.level).map((point): VerdictOutcome => {
    const comparison = compareWithLevel(point.figure, law)
    return comparison ? outcomeOfPoint(point, comparison) : 'undetermined'
  })
  const [first = 'undetermined', ...rest] = outcomes
  return rest.reduce((worst, other) => (severity[other] > severity[worst] ? other : worst), first)
}
