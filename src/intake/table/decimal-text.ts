import { type DecimalMark, numberIn } from '../monitor-file/number-cell.ts'

const MOST_DIGITS = /^\d{1,9}(?:\.\d{1,6})?$/

/** Decimal text with as many places as were written: `4,0` is `4.0`; null for what is no plain number above zero. */
export function decimalTextIn(cell: string, mark: DecimalMark): string | null {
  const number = numberIn(cell, mark)
  if (!number || number.mantissa < 0) return null
  const digits = String(number.mantissa).padStart(number.decimals + 1, '0')
  const whole = digits.slice(0, digits.length - number.decimals)
  const text = number.decimals === 0 ? whole : `${whole}.${digits.slice(-number.decimals)}`
  return MOST_DIGITS.test(text) ? text : null
}
