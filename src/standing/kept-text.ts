import type { EvaluatedTest, Standing } from '../domain/answers.ts'
import { canonicalText } from '../domain/standing/canonical-text.ts'

/** A standing as it is kept: each test whose evaluation is kept beside it is named by its id alone. */
export type KeptText = Omit<Standing, 'tests'> & { readonly tests: readonly (string | EvaluatedTest)[] }

/** The text to keep of a standing, without what `evaluations` keeps already. */
export const keptTextOf = (standing: Standing, evaluations: ReadonlyMap<string, EvaluatedTest>): string =>
  canonicalText({
    ...standing,
    tests: standing.tests.map(test => (evaluations.has(test.testId) ? test.testId : test)),
  } satisfies KeptText)

/** The whole standing again, from its text and the evaluations that are kept beside it. */
export function standingFrom(kept: KeptText, evaluations: readonly EvaluatedTest[]): Standing {
  const byId = new Map(evaluations.map(test => [test.testId, test]))
  return {
    ...kept,
    tests: kept.tests.flatMap(test => (typeof test === 'string' ? (byId.get(test) ?? []) : test)),
  }
}
