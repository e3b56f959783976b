import type { LevelRef } from '../answers.ts'
import type { RadonUnit } from '../facts.ts'
import type { Level, ResolvedPolicy, Tier } from '../policy/resolved-policy.ts'
import { type Bar, type Comparison, compareWithBar, outcomeWithBar } from '../quantity/comparison.ts'
import { compareFigures, type Figure } from '../quantity/figure.ts'

// Only gas levels are compared, and a rule set that states one in anything but these units is refused.
/** A level or band as figures are held against it, with the rounding of its law. */
export const barOf = (limit: Level | Tier, law: ResolvedPolicy): Bar => {
  const rounding = law.rules.rounding?.value
  const decimals = rounding && rounding.unit === limit.unit ? rounding.decimals : null
  return { value: limit.value, unit: limit.unit as RadonUnit, operator: limit.operator, decimals }
}

/** Holds a figure against the level of the law; null where the law names none. */
export const compareWithLevel = (figure: Figure, law: ResolvedPolicy): Comparison | null =>
  law.level && compareWithBar(figure, barOf(law.level, law))

/** The highest band of the law that a figure certainly reaches. */
export const tierOf = (figure: Figure, law: ResolvedPolicy): Tier | null =>
  law.tiers.findLast(tier => outcomeWithBar(figure, barOf(tier, law)) === 'over') ?? null

export const levelRefOf = (level: Level): LevelRef => ({
  label: level.label,
  value: level.value,
  unit: level.unit as RadonUnit,
  operator: level.operator,
  binding: level.binding,
})

/** One figure above and one below the level disagree when the higher is `factor` times the lower or more. */
export function disagree(a: Figure, b: Figure, law: ResolvedPolicy): boolean {
  const factor = law.rules.disagreementFactor?.value
  if (factor === undefined || !law.level) return false
  const limit = barOf(law.level, law)
  const sides = [outcomeWithBar(a, limit), outcomeWithBar(b, limit)]
  if (!sides.includes('over') || !sides.includes('under')) return false
  const [low, high] = sides[0] === 'over' ? [b, a] : [a, b]
  return compareFigures(high, { ...low, value: low.value.mul(factor) }) >= 0
}
