import type { EvaluatedTest, TestStage } from '../answers.ts'
import type { TestFacts } from '../facts.ts'
import { exposureAnswerOf } from './exposure-answer.ts'
import { validityOf } from './finding.ts'
import { findingsOf } from './findings-of.ts'
import { pairsOf, pairWorking } from './pairs.ts'
import { counts, periodOfTest, type TestContext } from './test-context.ts'
import { testOutcomeOf } from './test-outcome.ts'
import { termOf } from './window-limits.ts'

/** How far a test has come, from the facts known of it. */
export function stageOf(test: TestFacts): TestStage {
  const counting = test.exposures.filter(counts)
  // Blanks alone take their own way to the laboratory and back.
  const measured = counting.length > 0 ? counting : test.exposures
  if (measured.some(exposure => exposure.result !== null || exposure.series !== null)) return 'result-in'
  if (test.sentToLabAt !== null) return 'at-laboratory'
  if (test.pickedUpAt !== null || measured.some(exposure => exposure.stopAt !== null)) return 'picked-up'
  return test.setAt !== null || measured.some(exposure => exposure.startAt !== null) ? 'set' : 'planned'
}

/** A test judged by the law of its stop day: what was found, what it measured, what it says. */
export function evaluateTest(test: TestFacts, context: TestContext): EvaluatedTest {
  const stage = stageOf(test)
  const period = periodOfTest(test)
  const answers = test.exposures.map(exposure => exposureAnswerOf(exposure, test, context))
  const counting = answers.filter((_, i) => counts(test.exposures[i]!))
  const measuredHome = stage === 'result-in' && counting.length > 0
  const findings = measuredHome ? findingsOf(test, context) : []
  const validity = measuredHome ? validityOf(findings) : null
  const evaluated: EvaluatedTest = {
    testId: test.id,
    testVersion: test.version,
    systemId: test.systemId,
    purpose: test.purpose,
    method: test.method,
    stage,
    startAt: period.from,
    stopAt: period.to,
    term: termOf(period, context),
    findings,
    validity,
    exposures: answers,
    workings: pairsOf(counting).map(pair => pairWorking(pair, context.policy.rules)),
    outcome: null,
    accepted: test.acceptedAt !== null,
  }
  const judged = validity !== null && validity !== 'invalid'
  return judged ? { ...evaluated, outcome: testOutcomeOf(evaluated, context.policy) } : evaluated
}
