import Fraction from 'fraction.js'

/**
 * An exact rational number. Means and conversions stay exact: in binary floats (3.8 + 4.1) / 2 falls on the
 * wrong side of the United States action level.
 */
export type Exact = Fraction

const decimal = /^[+-]?\d+(\.\d+)?$/
const fraction = /^[+-]?\d+\/[1-9]\d*$/

/** Reads plain decimal text (`4`, `-0.35`) or a printed fraction (`7/3`); null for anything else. */
export function exactFrom(text: string): Exact | null {
  return decimal.test(text) || fraction.test(text) ? new Fraction(text) : null
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

/** Rounds to `decimals` places, a half away from zero. */
export function roundHalfUp(value: Exact, decimals: number): Exact {
  const shift = 10n ** BigInt(decimals)
  const whole = (2n * value.n * shift + value.d) / (2n * value.d)
  return new Fraction(value.s * whole, shift)
}
