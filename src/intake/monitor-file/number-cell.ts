export type DecimalMark = '.' | ','
/** `mantissa` · 10^-`decimals`, both exact integers. */
export type NumberCell = { readonly mantissa: number; readonly decimals: number }

/** What exporters write where there is no reading. */
const MISSING = /^(?:|[-–—.*]+|n\.?\/?a\.?|nan|null|none|missing|no data|--\.-+)$/i
export const isMissing = (cell: string): boolean => cell.length < 9 && MISSING.test(cell)

/** Thin, narrow and no-break blanks and the Swiss apostrophe, between groups of three digits. */
const GROUP = /(?<=\d)[\u00a0\u202f\u2009'’ ](?=\d{3}(?:\D|$))/g
const PLAIN = { '.': /^([+-]?)(\d*)(?:\.(\d*))?$/, ',': /^([+-]?)(\d*)(?:,(\d*))?$/ }
const GROUPED = {
  '.': /^[+-]?\d{1,3}(?:,\d{3})+(?:\.\d*)?$/,
  ',': /^[+-]?\d{1,3}(?:\.\d{3})+(?:,\d*)?$/,
}
const THOUSANDS = { '.': /,/g, ',': /\./g }
/** More digits than this are a binary fraction printed in full, not a measurement. */
const MAX_DIGITS = 15

/** The number in a cell, read with one decimal mark; `null` when it is none. */
export function numberIn(cell: string, mark: DecimalMark): NumberCell | null {
  let text = cell
  let parts = PLAIN[mark].exec(text)
  if (!parts) {
    text = text.replace('−', '-').replace(GROUP, '')
    if (GROUPED[mark].test(text)) text = text.replace(THOUSANDS[mark], '')
    parts = PLAIN[mark].exec(text)
  }
  if (!parts) return null
  const whole = parts[2]!
  let fraction = parts[3] ?? ''
  if (whole === '' && fraction === '') return null
  if (whole.length > 12) return null
  fraction = roundedTo(whole, fraction)
  const carried = fraction === 'carry'
  const digits = carried ? 0 : Number(whole + fraction)
  const mantissa = carried ? Number(whole) + 1 : digits
  return { mantissa: parts[1] === '-' ? -mantissa || 0 : mantissa, decimals: carried ? 0 : fraction.length }
}

/** Fraction digits kept: all of them, unless together with the whole they pass what an integer holds exactly. */
function roundedTo(whole: string, fraction: string): string {
  const room = Math.max(0, MAX_DIGITS - whole.length)
  if (fraction.length <= room) return fraction
  if (fraction.charCodeAt(room) < 53) return fraction.slice(0, room)
  const up = String(Number(`1${fraction.slice(0, room)}`) + 1)
  return up[0] === '2' ? 'carry' : up.slice(1)
}

/** What a cell says about the decimal mark; `either` when three digits follow a lone mark. */
export function markIn(cell: string): DecimalMark | 'either-comma' | 'either-point' | null {
  const text = cell.replace(GROUP, '')
  if (!/^[+-]?[\d.,]+$/.test(text)) return null
  const comma = text.lastIndexOf(',')
  const point = text.lastIndexOf('.')
  if (comma < 0 && point < 0) return null
  if (comma >= 0 && point >= 0) return comma > point ? ',' : '.'
  const mark = comma >= 0 ? ',' : '.'
  const other = mark === ',' ? '.' : ','
  if (text.indexOf(mark) !== text.lastIndexOf(mark)) return other
  const at = Math.max(comma, point)
  const whole = text.slice(0, at).replace(/^[+-]/, '')
  const groupLike = text.length - at - 1 === 3 && /^[1-9]\d{0,2}$/.test(whole)
  if (!groupLike) return mark
  return mark === ',' ? 'either-comma' : 'either-point'
}
