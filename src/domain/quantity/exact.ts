import Fraction from 'fraction.js'

/**
 * An exact rational number. Means and conversions stay exact: in binary floats (3.8 + 4.1) / 2 falls on the
 * wrong side of the United States action level.
 */
export type Exact = Fraction

const decimal = /^[+-]?\d+(\.\d+)?$/
const fraction = /^[+-]?\d+\/[1-9]\d*$/

// The same few figures stand in thousands of homes, and reading one costs more than reckoning with it.
const read = new Map<string, Exact>()
const readAtMost = 4096

/** Reads plain decimal text (`4`, `-0.35`) or a printed fraction (`7/3`); null for anything else. */
export function exactFrom(text: string): Exact | null {
  const known = read.get(text)
  if (known) return known
  if (!decimal.test(text) && !fraction.test(text)) return null
  const value = new Fraction(text)
  if (read.size >= readAtMost) read.clear()
  read.set(text, value)
  return value
}

/** `exactFrom` for text that was checked before; throws a RangeError when it was not. */
export function exact(text: string): Exact {
  const value = exactFrom(text)
  if (!value) throw new RangeError(`Not a decimal number: ${text}`)
  return value
}

/** `count` scaled by 10^-scale. */
export const exactScaled = (count: number | bigint, scale: number): Exact =>
  new Fraction(BigInt(count), 10n ** BigInt(scale))

export const sumOf = (values: readonly Exact[]): Exact => values.reduce((sum, value) => sum.add(value), new Fraction(0))

/** The exact arithmetic mean of at least one value. */
export const meanOf = (values: readonly Exact[]): Exact => sumOf(values).div(values.length)

/** The magnitude in whole units of the last of `decimals` places, a half away from zero. */
export const unitsHalfUp = ({ n, d }: Exact, decimals: number): bigint =>
  (2n * n * 10n ** BigInt(decimals) + d) / (2n * d)

/** Rounds to `decimals` places, a half away from zero. */
export const roundHalfUp = (value: Exact, decimals: number): Exact =>
  new Fraction(value.s * unitsHalfUp(value, decimals), 10n ** BigInt(decimals))
