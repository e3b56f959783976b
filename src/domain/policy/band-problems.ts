import { addPeriod } from '../calendar/day-sums.ts'
import { exact } from '../quantity/exact.ts'
import { converted } from '../quantity/radon-unit.ts'
import { type Contradiction, pointerTo } from './policy-problem.ts'
import type { RuleGroup } from './policy-schema.ts'

type Level = NonNullable<RuleGroup['levels']>[number]
type Tier = NonNullable<RuleGroup['tiers']>[number]

/** Levels and bands of one group: units, years of building, and their order. */
export function* bandProblems(at: readonly string[], { levels = [], tiers = [] }: RuleGroup): Generator<Contradiction> {
  for (const [i, level] of levels.entries())
    yield* levelProblems([...at, 'levels', String(i)], level, levels.slice(0, i))
  for (const [i, tier] of tiers.entries()) yield* tierProblems([...at, 'tiers', String(i)], tier, tiers[i - 1])
}

const unitsOf: Readonly<Record<Level['quantity'], readonly Level['unit'][]>> = {
  gas: ['pCi/L', 'Bq/m3'],
  'equilibrium-equivalent': ['pCi/L', 'Bq/m3'],
  'working-level': ['WL'],
  dose: ['mSv/y'],
  'occupational-exposure': ['pCi/L', 'Bq/m3', 'WL'],
}

function* levelProblems(at: readonly string[], level: Level, before: readonly Level[]): Generator<Contradiction> {
  const { quantity, unit, builtFrom, builtUntil } = level
  if (!unitsOf[quantity].includes(unit)) {
    yield {
      path: pointerTo([...at, 'unit']),
      reason: `${quantity} is not stated in ${unit}`,
      remedy: `State it in ${unitsOf[quantity].join(' or ')}, or correct the quantity.`,
    }
  }
  if (builtFrom !== null && builtUntil !== null && builtFrom > builtUntil) {
    yield {
      path: pointerTo([...at, 'builtUntil']),
      reason: `the years of building run backwards: ${builtFrom} to ${builtUntil}`,
      remedy: 'Exchange them, or leave one open with null.',
    }
  }
  const same = before.find(other => forTheSameBuildings(other, level))
  if (same) {
    yield {
      path: pointerTo(at),
      reason: `a second level of ${quantity} for the same buildings as "${same.label}"`,
      remedy: 'Keep one, or give each its years of building (builtFrom, builtUntil) so that they do not overlap.',
    }
  }
}

const forYears = ({ builtFrom, builtUntil }: Level) => builtFrom !== null || builtUntil !== null

// A level for some years of building stands beside the general one, which holds for all others.
const forTheSameBuildings = (a: Level, b: Level): boolean =>
  a.quantity === b.quantity &&
  forYears(a) === forYears(b) &&
  (a.builtFrom ?? -Infinity) <= (b.builtUntil ?? Infinity) &&
  (b.builtFrom ?? -Infinity) <= (a.builtUntil ?? Infinity)

const inBecquerels = ({ value, unit }: Tier) => converted(exact(value), unit, 'Bq/m3')
// Any day will do to tell the longer of two periods.
const ends = (deadline: string) => addPeriod('2001-01-01', deadline)

function* tierProblems(at: readonly string[], tier: Tier, below: Tier | undefined): Generator<Contradiction> {
  if (!below) return
  const order = inBecquerels(tier).compare(inBecquerels(below))
  if (order <= 0) {
    yield {
      path: pointerTo([...at, 'value']),
      reason: `${tier.value} ${tier.unit} ${order === 0 ? 'is the same band as' : 'lies under'} the one before it, ${below.value} ${below.unit}`,
      remedy: 'List the bands from the lowest to the highest, each once.',
    }
  }
  if (below.asks === 'mitigation' && tier.asks === 'consider-mitigation') {
    yield {
      path: pointerTo([...at, 'asks']),
      reason: 'a higher band asks for less than the one before it',
      remedy: 'Ask for mitigation here too, or put the bands in order.',
    }
  }
  if (below.deadline !== null && tier.deadline !== null && ends(tier.deadline) > ends(below.deadline)) {
    yield {
      path: pointerTo([...at, 'deadline']),
      reason: `a higher band gives more time (${tier.deadline}) than the one before it (${below.deadline})`,
      remedy: 'Give the higher band no more time than the lower.',
    }
  }
}
