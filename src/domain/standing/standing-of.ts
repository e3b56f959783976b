import type { EvaluatedTest, Standing } from '../answers.ts'
import { localDayOf } from '../calendar/local-day.ts'
import type { HomeFacts, Instant } from '../facts.ts'
import { evaluateTest } from '../measurement/evaluate-test.ts'
import { obligationsOf } from '../obligations/obligations-of.ts'
import type { Policies } from '../policy/policies.ts'
import { resolvePolicy } from '../policy/resolve-policy.ts'
import { systemStateOf } from '../verdict/system-changes.ts'
import { undetermined } from '../verdict/undetermined.ts'
import { decisionOf, verdictOf } from '../verdict/verdict-of.ts'
import { lawOfTest } from './law-of-test.ts'
import { nextLawChangeAt } from './next-change.ts'
import { type Judged, testHistoryOf } from './verdict-context.ts'

/** Rises whenever the same facts and rules would be answered differently: kept standings are then computed anew. */
export const engineVersion = 2

/** Tests judged before, by test id; one that is missing is judged here from its facts. */
export type KeptEvaluations = ReadonlyMap<string, EvaluatedTest>

/**
 * A home's standing: its verdict with the working, what is owed next and by when. Pure; holds nothing that is
 * relative to `now`, which only chooses the law of today. RangeError when no rule set covers the place.
 */
export function standingOf(
  home: HomeFacts,
  policies: Policies,
  now: Instant,
  kept: KeptEvaluations = new Map(),
): Standing {
  const today = resolvePolicy(policies, home, localDayOf(now, home.zone))
  if (!today) throw new RangeError(`No rule set covers ${home.jurisdiction}`)
  const judged = home.tests.map((facts): Judged => {
    const law = lawOfTest(facts, home, policies, now) ?? today
    const evaluated = kept.get(facts.id) ?? evaluateTest(facts, { policy: law, zone: home.zone, systems: home.systems })
    return { facts, evaluated, law }
  })
  const history = testHistoryOf(home, judged, today)
  const { current: tests, earlier, underWay, checks, mitigated, otherwise, change } = history
  const decided = verdictOf({ tests, mitigated, otherwise, change })
  // The law of a test's day gives the verdict; what is owed follows from what the same tests mean today.
  const decision = tests.every(({ law }) => law.versionKey === today.versionKey)
    ? decided.decision
    : decisionOf(
        tests.map(test => ({ test: test.test, stopOn: test.stopOn, law: today })),
        mitigated,
      )
  return {
    propertyId: home.propertyId,
    zone: home.zone,
    jurisdiction: home.jurisdiction,
    buildingUse: home.buildingUse,
    system: systemStateOf(home),
    verdict: history.off ? undetermined('altered-since-test', history.off) : decided.verdict,
    tests: judged.map(({ evaluated }) => evaluated).sort(newestFirst),
    obligations: obligationsOf({
      home,
      law: today,
      mitigated,
      change,
      current: tests,
      earlier,
      underWay,
      checks,
      decision,
    }),
    judgedBy: decided.decision && { code: decided.decision.law.code, from: decided.decision.law.from },
    owedBy: { code: today.code, from: today.from },
    nextChangeAt: nextLawChangeAt(home, policies, now),
  }
}

const newestFirst = (a: EvaluatedTest, b: EvaluatedTest) =>
  (b.stopAt ?? b.startAt ?? Number.MAX_SAFE_INTEGER) - (a.stopAt ?? a.startAt ?? Number.MAX_SAFE_INTEGER) ||
  (a.testId < b.testId ? 1 : -1)
