import type { EvaluatedTest, UndeterminedReason } from '../answers.ts'
import { localDayOf } from '../calendar/local-day.ts'
import type { HomeFacts, TestFacts } from '../facts.ts'
import type { ResolvedPolicy } from '../policy/resolved-policy.ts'
import type { JudgedTest } from '../verdict/reading.ts'
import { isAfter, isMitigated, mayBeAfter, type SystemChange, systemChangesOf } from '../verdict/system-changes.ts'
import { stopDayOf } from './law-of-test.ts'

/** The tests of a home sorted by whether they still describe it. */
export type TestHistory = {
  readonly mitigated: boolean
  /** The change that older results do not outlive; null when there is none. */
  readonly change: SystemChange | null
  /** Set when a system was switched off after the newest counting test: it then says nothing of today. */
  readonly off: SystemChange | null
  /** Counting tests since then, oldest first. */
  readonly current: readonly JudgedTest[]
  /** Counting tests before it, oldest first. */
  readonly earlier: readonly JudgedTest[]
  /** Tests without a result yet, since then. */
  readonly underWay: readonly EvaluatedTest[]
  /** Tests of blanks and spikes alone without a result yet: they check the laboratory and say nothing of the home. */
  readonly checks: readonly EvaluatedTest[]
  readonly otherwise: UndeterminedReason
}

/** A test, what it comes to, and the law that judged it. */
export type Judged = {
  readonly facts: TestFacts
  readonly evaluated: EvaluatedTest
  readonly law: ResolvedPolicy
}

/** Which tests speak for the home today. What a homeowner reported counts only once the office has accepted it. */
export function testHistoryOf(home: HomeFacts, all: readonly Judged[], today: ResolvedPolicy): TestHistory {
  const changes = systemChangesOf(home)
  const needsTest = today.rules.alteredSystemNeedsTest?.value ?? false
  const lasting = changes.filter(({ kind }) => kind === 'started' || (needsTest && kind !== 'off'))
  const change = lasting.at(-1) ?? null
  const isCurrent = (test: EvaluatedTest) => change === null || isAfter(test, change, home.zone)
  const counting = all
    .filter(({ facts, evaluated }) => resultCounts(facts, evaluated))
    .flatMap(({ facts, evaluated, law }): JudgedTest[] => {
      const stopOn = evaluated.stopAt === null ? stopDayOf(facts, home.zone) : localDayOf(evaluated.stopAt, home.zone)
      return stopOn === null ? [] : [{ test: evaluated, stopOn, law }]
    })
    .sort(byStop)
  const unfinished = all
    .map(({ evaluated }) => evaluated)
    .filter(test => test.stage !== 'result-in' && test.stage !== 'planned')
    .sort(byId)
  const underWay = unfinished.filter(test => measuresHome(test) && isCurrent(test))
  const current = counting.filter(({ test }) => isCurrent(test))
  const earlier = counting.filter(({ test }) => !isCurrent(test))
  const newest = counting.at(-1)?.test
  const unclear = change !== null && newest !== undefined && mayBeAfter(newest, change, home.zone)
  const off = changes.findLast(({ kind }) => kind === 'off') ?? null
  return {
    off: off && newest && !isAfter(newest, off, home.zone) ? off : null,
    mitigated: isMitigated(home.systems),
    change,
    current,
    earlier,
    underWay,
    checks: unfinished.filter(test => !measuresHome(test)),
    otherwise: reasonOf(
      all.map(({ evaluated }) => evaluated).filter(measuresHome),
      underWay,
      unclear ? 'order-unknown' : change && counting.length > 0 ? 'altered-since-test' : null,
    ),
  }
}

// What hangs nowhere yet, or whose devices nobody listed, may well measure the home.
const measuresHome = ({ exposures }: EvaluatedTest) =>
  exposures.length === 0 || exposures.some(({ role }) => role === 'measurement' || role === 'duplicate')

const resultCounts = (facts: TestFacts, test: EvaluatedTest) =>
  test.stage === 'result-in' &&
  test.validity !== null &&
  test.validity !== 'invalid' &&
  (facts.source !== 'homeowner' || facts.acceptedAt !== null)

const byId = (a: EvaluatedTest, b: EvaluatedTest) => (a.testId < b.testId ? -1 : 1)
const byStop = (a: JudgedTest, b: JudgedTest) =>
  (a.test.stopAt ?? 0) - (b.test.stopAt ?? 0) ||
  (a.stopOn < b.stopOn ? -1 : a.stopOn > b.stopOn ? 1 : byId(a.test, b.test))

function reasonOf(
  all: readonly EvaluatedTest[],
  underWay: readonly EvaluatedTest[],
  overtaken: UndeterminedReason | null,
): UndeterminedReason {
  if (underWay.some(test => test.stage === 'set')) return 'test-under-way'
  if (underWay.length > 0) return 'result-awaited'
  if (overtaken) return overtaken
  const finished = all.filter(test => test.stage === 'result-in')
  if (finished.some(test => test.validity !== 'invalid')) return 'facts-missing'
  return finished.length > 0 ? 'only-invalid-tests' : 'never-tested'
}
