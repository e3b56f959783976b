import type { UndeterminedReason, Verdict } from '../answers.ts'
import { figureText } from '../quantity/figure.ts'
import { levelRefOf, tierOf } from './compare-with-level.ts'
import { type Decision, decideLocation, worstOf } from './decide-location.ts'
import { type JudgedTest, Reading } from './reading.ts'
import type { SystemChange } from './system-changes.ts'
import { placesOf } from './test-places.ts'
import { undetermined } from './undetermined.ts'
import { outcomeWords } from './verdict-words.ts'

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
  const decisions = decisionsOf(tests, mitigated)
  const decision = worstOf(decisions)
  return decision
    ? { verdict: verdictFrom(decision, decisions), decision }
    : { verdict: undetermined(otherwise, change), decision: null }
}

/** The same without the words: what the verdict would rest on. */
export const decisionOf = (tests: readonly JudgedTest[], mitigated: boolean): Decision | null =>
  worstOf(decisionsOf(tests, mitigated))

const decisionsOf = (tests: readonly JudgedTest[], mitigated: boolean): readonly Decision[] =>
  [...readingsByPlace(tests).values()].map(readings => decideLocation(readings, mitigated))

function readingsByPlace(tests: readonly JudgedTest[]): ReadonlyMap<string, readonly Reading[]> {
  const byPlace = new Map<string, Reading[]>()
  for (const judged of tests) {
    const { level } = judged.law
    if (!level) continue
    for (const place of placesOf(judged.test, level)) {
      const reading = new Reading(judged, level, place)
      const there = byPlace.get(place.key)
      if (there) there.push(reading)
      else byPlace.set(place.key, [reading])
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
      lines: lines(),
      rule: level.ref,
      outcome: outcomeWords(outcome, levelRef, reason),
    },
  }
}

const lastPoint = (decision: Decision) => (decision.readings.at(-1) as Reading).point
const placeOf = (decision: Decision) => `${lastPoint(decision).locationName} ${lastPoint(decision).locationId}`

const ruleWords = ({ instrument, clause, status }: { instrument: string; clause: string; status: string }) =>
  `${instrument}${clause ? `, ${clause}` : ''}${status === 'unverified' ? ' (unverified)' : ''}`
