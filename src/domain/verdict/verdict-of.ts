import type { EvaluatedTest, UndeterminedReason, Verdict } from '../answers.ts'
import type { LocalDay } from '../facts.ts'
import type { ResolvedPolicy } from '../policy/resolved-policy.ts'
import { figureText } from '../quantity/figure.ts'
import { compareWithLevel, levelRefOf, tierOf } from './compare-with-level.ts'
import { type Decision, decideLocation, type Reading, worstOf } from './decide-location.ts'
import type { SystemChange } from './system-changes.ts'
import { pointsOf } from './test-points.ts'
import { undetermined } from './undetermined.ts'
import { outcomeWords } from './verdict-words.ts'

/** A test with the law of its stop day and that day in the home's zone. */
export type JudgedTest = { readonly test: EvaluatedTest; readonly stopOn: LocalDay; readonly law: ResolvedPolicy }

export type VerdictContext = {
  /** Tests whose results count, of the home as it stands now, oldest first. */
  readonly tests: readonly JudgedTest[]
  /** Whether a system ran during them. */
  readonly mitigated: boolean
  /** Why there is no verdict when none of them decides. */
  readonly otherwise: UndeterminedReason
  /** The change that took the earlier results' meaning away, if any. */
  readonly change: SystemChange | null
}

export type Decided = {
  readonly verdict: Verdict
  /** What the verdict rests on; null when nothing was decided. */
  readonly decision: Decision | null
}

/** What the results of a home mean, place by place and together. */
export function verdictOf({ tests, mitigated, otherwise, change }: VerdictContext): Decided {
  const byPlace = readingsByPlace(tests)
  const decisions = [...byPlace.values()].map(readings => decideLocation(readings, mitigated))
  const decision = worstOf(decisions)
  return decision
    ? { verdict: verdictFrom(decision, decisions), decision }
    : { verdict: undetermined(otherwise, change), decision: null }
}

function readingsByPlace(tests: readonly JudgedTest[]): ReadonlyMap<string, readonly Reading[]> {
  const byPlace = new Map<string, Reading[]>()
  for (const { test, stopOn, law } of tests) {
    const { level } = law
    for (const point of level ? pointsOf(test, law, level) : []) {
      const comparison = compareWithLevel(point.figure, law)
      if (!level || !comparison) continue
      const readings = byPlace.get(point.key) ?? []
      readings.push({ test, stopOn, law, level, point, comparison })
      byPlace.set(point.key, readings)
    }
  }
  return withPlaceless(byPlace, tests)
}

// A result from an unnamed place belongs to the only place there is; beside several, a newer test takes its place.
function withPlaceless(byPlace: Map<string, Reading[]>, tests: readonly JudgedTest[]): Map<string, Reading[]> {
  const placeless = byPlace.get('')
  const [only, ...more] = [...byPlace.keys()].filter(key => key !== '')
  if (!placeless || only === undefined) return byPlace
  byPlace.delete('')
  if (more.length === 0) {
    const all = [...placeless, ...(byPlace.get(only) ?? [])]
    const order = new Map(tests.map(({ test }, i) => [test.testId, i]))
    byPlace.set(
      only,
      all.sort((a, b) => (order.get(a.test.testId) ?? 0) - (order.get(b.test.testId) ?? 0)),
    )
  } else if (placeless.at(-1)?.test.testId === tests.at(-1)?.test.testId) byPlace.set('', placeless)
  return byPlace
}

const comparedOf = ({ comparison, level, figure }: Decision) => ({
  value: comparison.compared,
  unit: level.unit,
  qualifier: figure.qualifier,
})

function verdictFrom(decision: Decision, all: readonly Decision[]): Verdict {
  const { outcome, reason, readings, law, level, lines } = decision
  const levelRef = levelRefOf(level)
  const tier = outcome === 'undetermined' || outcome === 'disagreement' ? null : tierOf(decision.figure, law)
  const places = [...all].sort((a, b) => (placeOf(a) < placeOf(b) ? -1 : 1))
  return {
    outcome,
    reason,
    settledBy: reason === null ? null : undetermined(reason, null).settledBy,
    level: levelRef,
    tier: tier?.label ?? null,
    compared: comparedOf(decision),
    testIds: readings.map(reading => reading.test.testId),
    perLocation: places.map(place => ({
      locationId: lastPoint(place).locationId,
      locationName: lastPoint(place).locationName,
      compared: comparedOf(place),
      outcome: place.outcome,
    })),
    working: {
      title: `Result against ${level.label}`,
      inputs: [
        ...readings.map(({ point, stopOn }) => ({
          label: `${point.locationName}, to ${stopOn}`,
          value: figureText(point.figure),
        })),
        ...(decision.rule ? [{ label: 'What decides', value: ruleWords(decision.rule) }] : []),
      ],
      lines,
      rule: level.ref,
      outcome: outcomeWords(outcome, levelRef, reason),
    },
  }
}

const lastPoint = (decision: Decision) => (decision.readings.at(-1) as Reading).point
const placeOf = (decision: Decision) => `${lastPoint(decision).locationName} ${lastPoint(decision).locationId}`

const ruleWords = ({ instrument, clause, status }: { instrument: string; clause: string; status: string }) =>
  `${instrument}${clause ? `, ${clause}` : ''}${status === 'unverified' ? ' (unverified)' : ''}`
