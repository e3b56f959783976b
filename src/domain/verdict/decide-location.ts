import type { RuleRef, UndeterminedReason, VerdictOutcome, WorkingLine } from '../answers.ts'
import { addPeriod, daysBetween } from '../calendar/day-sums.ts'
import type { RadonUnit } from '../facts.ts'
import type { Level, ResolvedPolicy } from '../policy/resolved-policy.ts'
import type { Comparison } from '../quantity/comparison.ts'
import { compareFigures, type Figure, meanFigure } from '../quantity/figure.ts'
import { compareWithLevel, disagree } from './compare-with-level.ts'
import { outcomeOfFigure, outcomeOfPoint, severity } from './outcome-of-point.ts'
import type { Reading } from './reading.ts'
import { meanLine } from './test-points.ts'

/** What the readings of one place come to. */
export type Decision = {
  readonly outcome: VerdictOutcome
  readonly reason: UndeterminedReason | null
  readonly readings: readonly Reading[]
  readonly law: ResolvedPolicy
  readonly level: Level
  readonly figure: Figure
  readonly comparison: Comparison
  /** The arithmetic; written out only for the place that speaks for the home. */
  readonly lines: () => readonly WorkingLine[]
  /** The rule about kinds of test that led here, beside the level. */
  readonly rule: RuleRef | null
}

function single(
  reading: Reading,
  outcome: VerdictOutcome,
  reason: UndeterminedReason | null,
  rule: RuleRef | null,
): Decision {
  const { law, level, comparison, point } = reading
  return {
    outcome,
    reason,
    readings: [reading],
    law,
    level,
    figure: point.figure,
    comparison,
    lines() {
      return [...point.lines(), ...comparison.lines()]
    },
    rule,
  }
}

/** The reading decides alone. */
function decided(reading: Reading, rule: RuleRef | null = reading.law.rules.decidedBy?.ref ?? null): Decision {
  const outcome = outcomeOfPoint(reading.point, reading.comparison)
  if (outcome === 'disagreement')
    return single(reading, outcome, null, reading.law.rules.disagreementFactor?.ref ?? null)
  return single(reading, outcome, outcome === 'undetermined' ? 'facts-missing' : null, rule)
}

/** Readings of one place, oldest first, at least one; `mitigated` when a system ran during them. */
export function decideLocation(readings: readonly Reading[], mitigated: boolean): Decision {
  const newest = readings.at(-1) as Reading
  const { decidedBy, minimumLocations } = newest.law.rules
  if (decidedBy?.value === 'short-term-confirmed') return mitigated ? decided(newest) : confirmed(readings)
  if (decidedBy?.value !== 'long-term') return decided(newest)
  const long = readings.findLast(reading => reading.test.term === 'long')
  if (!long) return single(newest, 'undetermined', 'not-the-required-kind', decidedBy.ref)
  if (minimumLocations && long.point.places < minimumLocations.value) {
    return single(long, 'undetermined', 'not-the-required-kind', minimumLocations.ref)
  }
  return decided(long)
}

type Course = {
  readonly decision: Decision
  /** A short-term reading that a second one would be averaged with. */
  readonly first: Reading | null
  /** Two that disagreed: a third is held with the one on its own side. */
  readonly opposed: readonly Reading[]
  readonly long: Reading | null
}

// EPA's steps for an unmitigated building: a first short-term result at or above the level wants a second test.
function confirmed(readings: readonly Reading[]): Decision {
  let course: Course | null = null
  for (const reading of readings) course = next(course, reading)
  return (course as Course | null)?.decision ?? decided(readings.at(-1) as Reading)
}

function next(course: Course | null, reading: Reading): Course {
  const { realEstateDecidesAtOnce } = reading.law.rules
  const alone = (decision: Decision, long: Reading | null): Course => ({ decision, first: null, opposed: [], long })
  if (reading.test.term === 'long') return alone(decided(reading), reading)
  if (course?.long && overrules(course.long, reading)) return course
  if (realEstateDecidesAtOnce?.value && reading.test.purpose === 'real-estate' && isPairOrMonitor(reading)) {
    return alone(decided(reading, realEstateDecidesAtOnce.ref), null)
  }
  const mate = course?.opposed.findLast(other => other.comparison.outcome === reading.comparison.outcome)
  if (mate) return alone(averaged(mate, reading), null)
  if (course?.first && isOneRound(course.first, reading)) return second(course.first, reading)
  return { decision: firstResult(reading), first: reading, opposed: [], long: null }
}

// A long-term result speaks for the home until its own retest falls due.
function overrules(long: Reading, short: Reading): boolean {
  const every = short.law.rules.retestUnmitigatedEvery?.value
  if (!short.law.rules.longTermOverrulesShortTerm?.value) return false
  return every === undefined || short.stopOn <= addPeriod(long.stopOn, every)
}

const isPairOrMonitor = ({ test, point }: Reading) => test.method === 'continuous-monitor' || point.devices > 1

const isOneRound = (first: Reading, later: Reading) =>
  later.stopOn <= addPeriod(first.stopOn, later.law.rules.secondTestWithin?.value ?? 'P1Y')

function firstResult(reading: Reading): Decision {
  if (reading.comparison.outcome !== 'over' || reading.point.disagrees) return decided(reading)
  return single(reading, 'needs-follow-up', null, reading.law.rules.decidedBy?.ref ?? null)
}

function second(first: Reading, later: Reading): Course {
  const { disagreementFactor } = later.law.rules
  if (disagreementFactor && disagree(first.point.figure, later.point.figure, later.law)) {
    const decision = {
      ...averaged(first, later),
      outcome: 'disagreement' as const,
      reason: null,
      rule: disagreementFactor.ref,
    }
    return { decision, first: null, opposed: [first, later], long: null }
  }
  return { decision: averaged(first, later), first: null, opposed: [], long: null }
}

function averaged(first: Reading, later: Reading): Decision {
  const figures = [first.point.figure, later.point.figure]
  const mean = meanFigure(figures, later.level.unit as RadonUnit)
  const comparison = mean && compareWithLevel(mean, later.law)
  if (!mean || !comparison) return decided(later)
  const outcome = outcomeOfFigure(comparison)
  const apart = daysBetween(first.stopOn, later.stopOn)
  const note = `two short-term results, ${apart} ${apart === 1 ? 'day' : 'days'} apart`
  return {
    outcome,
    reason: outcome === 'undetermined' ? 'facts-missing' : null,
    readings: [first, later],
    law: later.law,
    level: later.level,
    figure: mean,
    comparison,
    lines: () => [...first.point.lines(), ...later.point.lines(), meanLine(figures, mean, note), ...comparison.lines()],
    rule: later.law.rules.decidedBy?.ref ?? null,
  }
}

/** The decision that speaks for the home: the worst outcome, the highest figure, then the newest. */
export function worstOf(decisions: readonly Decision[]): Decision | null {
  // A room that only the wrong kind of test has seen takes nothing from one that was rightly tested.
  const rightKind = decisions.filter(decision => decision.reason !== 'not-the-required-kind')
  const [first, ...rest] = rightKind.length > 0 ? rightKind : decisions
  if (!first) return null
  return rest.reduce((worst, other) => (isWorse(other, worst) ? other : worst), first)
}

const isWorse = (a: Decision, b: Decision) =>
  severity[a.outcome] !== severity[b.outcome]
    ? severity[a.outcome] > severity[b.outcome]
    : compareFigures(a.figure, b.figure) > 0
