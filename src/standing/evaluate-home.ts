import { createHash } from 'node:crypto'
import type { EvaluatedTest } from '../domain/answers.ts'
import type { HomeFacts, SeriesFacts, TestFacts } from '../domain/facts.ts'
import { evaluateTest } from '../domain/measurement/evaluate-test.ts'
import type { Policies } from '../domain/policy/policies.ts'
import { canonicalText } from '../domain/standing/canonical-text.ts'
import { lawOfTest } from '../domain/standing/law-of-test.ts'
import { engineVersion } from '../domain/standing/standing-of.ts'
import type { LoadedHome } from './load-facts.ts'
import type { EvaluationRow } from './save-standing.ts'

export type EvaluatedHome = {
  readonly evaluations: ReadonlyMap<string, EvaluatedTest>
  /** Those that are new and must be kept. */
  readonly fresh: readonly EvaluationRow[]
  /** Whether one of them says something else than the one kept before. */
  readonly reevaluated: boolean
}

const keys = new WeakMap<TestFacts, Map<string, string>>()

/** Everything a test's evaluation is made from, as one short text: equal keys mean equal evaluations. */
function keyOf(test: TestFacts, loaded: LoadedHome, versionKey: string): string {
  const known = keys.get(test) ?? new Map<string, string>()
  keys.set(test, known)
  const key = known.get(versionKey) ?? newKey(test, loaded, versionKey)
  known.set(versionKey, key)
  return key
}

function newKey(test: TestFacts, loaded: LoadedHome, versionKey: string): string {
  const { facts, seriesIds } = loaded
  const input = {
    test,
    series: test.exposures.map(exposure => seriesIds.get(exposure.id) ?? null),
    zone: facts.zone,
    systems: facts.systems,
    versionKey,
    engineVersion,
  }
  // One statement loads every home's facts, so that equal facts are in equal order already.
  return createHash('sha256').update(JSON.stringify(input)).digest('base64url')
}

/** The ids of the records that are needed to evaluate what has no kept evaluation. */
export function seriesNeeded(loaded: LoadedHome, policies: Policies, now: number): string[] {
  const kept = keptKeys(loaded)
  return loaded.facts.tests
    .filter(test => kept.get(test.id)?.key !== keyOf(test, loaded, versionKeyOf(test, loaded.facts, policies, now)))
    .flatMap(test => test.exposures.flatMap(exposure => loaded.seriesIds.get(exposure.id) ?? []))
}

/** Each test's evaluation: the kept one where nothing that goes into it has changed, else a new one. */
export function evaluateHome(
  loaded: LoadedHome,
  policies: Policies,
  series: ReadonlyMap<string, SeriesFacts>,
  now: number,
): EvaluatedHome {
  const { facts } = loaded
  const kept = keptKeys(loaded)
  const evaluations = new Map<string, EvaluatedTest>()
  const fresh: EvaluationRow[] = []
  for (const test of facts.tests) {
    const law = lawOfTest(test, facts, policies, now)
    if (!law) continue
    const key = keyOf(test, loaded, law.versionKey)
    const known = kept.get(test.id)
    if (known?.key === key) {
      evaluations.set(test.id, JSON.parse(known.body) as EvaluatedTest)
      continue
    }
    const evaluated = evaluateTest(withSeries(test, loaded, series), {
      policy: law,
      zone: facts.zone,
      systems: facts.systems,
    })
    evaluations.set(test.id, evaluated)
    fresh.push({ testId: test.id, key, body: canonicalText(evaluated) })
  }
  const reevaluated = fresh.some(({ testId, body }) => (kept.get(testId)?.body ?? body) !== body)
  return { evaluations, fresh, reevaluated }
}

const keptKeys = (loaded: LoadedHome) => new Map(loaded.evaluations.map(kept => [kept.testId, kept]))

const versionKeyOf = (test: TestFacts, facts: HomeFacts, policies: Policies, now: number) =>
  lawOfTest(test, facts, policies, now)?.versionKey ?? ''

const withSeries = (test: TestFacts, loaded: LoadedHome, series: ReadonlyMap<string, SeriesFacts>): TestFacts => ({
  ...test,
  exposures: test.exposures.map(exposure => ({
    ...exposure,
    series: series.get(loaded.seriesIds.get(exposure.id) ?? '') ?? null,
  })),
})
