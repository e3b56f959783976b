import type { EvaluatedTest, VerdictOutcome } from '../answers.ts'
import type { ResolvedPolicy } from '../policy/resolved-policy.ts'
import { compareWithLevel } from '../verdict/compare-with-level.ts'
import { pointsOf } from '../verdict/test-points.ts'

/**
 * What a test with results says alone against the level of its day: the comparison and no more. Whether it decides, or
 * wants another test beside it, is the verdict's.
 */
export function testOutcomeOf(test: EvaluatedTest, law: ResolvedPolicy): VerdictOutcome {
  if (!law.level) return 'undetermined'
  const points = pointsOf(test, law, law.level)
  if (points.some(point => point.disagrees)) return 'disagreement'
  const outcomes = points.map(point => compareWithLevel(point.figure, law)?.outcome ?? 'cannot-tell')
  if (outcomes.includes('over')) return 'at-or-above'
  return outcomes.length === 0 || outcomes.includes('cannot-tell') ? 'undetermined' : 'below'
}
