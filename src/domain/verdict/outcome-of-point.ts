import type { VerdictOutcome } from '../answers.ts'
import type { Comparison } from '../quantity/comparison.ts'
import type { Point } from './test-points.ts'

const outcomes = { over: 'at-or-above', under: 'below', 'cannot-tell': 'undetermined' } as const

/** What a figure says against its level. */
export const outcomeOfFigure = ({ outcome }: Comparison): 'at-or-above' | 'below' | 'undetermined' => outcomes[outcome]

/** What the devices at one place say against the level; those too far apart to average disagree. */
export const outcomeOfPoint = (point: Point, comparison: Comparison): VerdictOutcome =>
  point.disagrees ? 'disagreement' : outcomeOfFigure(comparison)

/** The more it asks for, the higher: of several places the highest speaks for all. */
export const severity: Readonly<Record<VerdictOutcome, number>> = {
  'at-or-above': 4,
  disagreement: 3,
  'needs-follow-up': 2,
  undetermined: 1,
  below: 0,
}
