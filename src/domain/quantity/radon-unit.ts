import Fraction from 'fraction.js'
import type { RadonUnit } from '../facts.ts'
import type { Exact } from './exact.ts'

/** 1 pCi/L = 37 Bq/m3 exactly: the curie is 3.7e10 becquerel by definition. */
export const becquerelsPerPicocurie = new Fraction(37)

/** The same concentration in another unit, exactly. */
export function converted(value: Exact, from: RadonUnit, to: RadonUnit): Exact {
  if (from === to) return value
  return to === 'Bq/m3' ? value.mul(becquerelsPerPicocurie) : value.div(becquerelsPerPicocurie)
}
