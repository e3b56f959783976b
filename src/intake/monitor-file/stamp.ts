/** Day order of a numeric date; `ymd` needs no asking when the year has four digits. */
export type DateOrder = 'ymd' | 'dmy' | 'mdy'

/** A stamp as written: three numbers still without an order (`named` when year and month are certain). */
export type RawDate = { readonly a: number; readonly b: number; readonly c: number; readonly order: 'ymd' | 'unknown' }
/** Seconds since midnight; `offsetMinutes` when the stamp states its own distance from UTC. */
export type RawTime = { readonly seconds: number; readonly offsetMinutes: number | null; readonly twelveHour: boolean }
export type RawStamp = { readonly date: RawDate; readonly time: RawTime }

const MONTHS = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec']
/** Month names of other languages that do not begin like the English ones. */
// biome-ignore format: a table
const OTHER_MONTHS: Readonly<Record<string, number>> = {
  mär: 3, mrz: 3, mai: 5, maj: 5, okt: 10, dez: 12, fév: 2, fev: 2, avr: 4, juin: 6, juil: 7, aoû: 8, aou: 8,
  déc: 12, ene: 1, abr: 4, ago: 8, dic: 12, gen: 1, mag: 5, giu: 6, lug: 7, set: 9, ott: 10, mei: 5, mrt: 3,
}

const NUMERIC = /^(\d{1,4})([-/.])(\d{1,2})\2(\d{1,4})\.?$/
const COMPACT = /^(\d{4})(\d{2})(\d{2})$/
const DAY_NAME = /^(?:\p{L}{2,9}\.?,?\s+)(?=\d|\p{L}{3})/u
const DAY_MONTH = /^(\d{1,2})(?:\.|st|nd|rd|th)?[\s./-]+(\p{L}{3,10})\.?,?[\s./-]+(\d{2}|\d{4})$/u
const MONTH_DAY = /^(\p{L}{3,10})\.?[\s-]+(\d{1,2})(?:st|nd|rd|th)?,?[\s-]+(\d{4})$/u
const YEAR_MONTH = /^(\d{4})[\s-]+(\p{L}{3,10})\.?[\s-]+(\d{1,2})$/u
const TIME =
  /^(\d{1,2})(?:[:.h](\d{2}))?(?:[:.m](\d{2})(?:[.,]\d+)?s?)?\s*([ap]\.?\s?m\.?)?\s*(z|utc|gmt|[+-]\d{2}:?\d{2}|(?:utc|gmt)\s?[+-]\d{1,2}(?::?\d{2})?|[+-]\d{2}|[a-z]{3,4})?$/i

/** Letters that people's software writes for a distance from UTC, in minutes. */
// biome-ignore format: a table
const ABBREVIATIONS: Readonly<Record<string, number>> = {
  z: 0, utc: 0, gmt: 0, wet: 0, west: 60, bst: 60, cet: 60, cest: 120, mez: 60, mesz: 120, eet: 120, eest: 180,
  nst: -210, ndt: -150, ast: -240, adt: -180, est: -300, edt: -240, cst: -360, cdt: -300, mst: -420, mdt: -360,
  pst: -480, pdt: -420, akst: -540, akdt: -480, hst: -600,
}

const fullYear = (year: number): number => (year < 100 ? 2000 + year : year)

export function monthNamed(name: string): number | null {
  const lower = name.toLowerCase()
  const index = MONTHS.indexOf(lower.slice(0, 3))
  if (index >= 0) return index + 1
  return OTHER_MONTHS[lower.slice(0, 4)] ?? OTHER_MONTHS[lower.slice(0, 3)] ?? null
}

const named = (year: string, month: string, day: string): RawDate | null => {
  const m = monthNamed(month)
  return m === null ? null : { a: fullYear(Number(year)), b: m, c: Number(day), order: 'ymd' }
}

export function dateIn(cell: string): RawDate | null {
  const numeric = NUMERIC.exec(cell)
  if (numeric) {
    const [a, b, c] = [Number(numeric[1]), Number(numeric[3]), Number(numeric[4])]
    if (numeric[1]!.length === 4) return numeric[4]!.length <= 2 ? { a, b, c, order: 'ymd' } : null
    if (numeric[1]!.length > 2 || numeric[4]!.length === 3) return null
    return { a, b, c, order: 'unknown' }
  }
  const compact = COMPACT.exec(cell)
  if (compact) return { a: Number(compact[1]), b: Number(compact[2]), c: Number(compact[3]), order: 'ymd' }
  const text = cell.replace(DAY_NAME, '')
  const dayFirst = DAY_MONTH.exec(text)
  if (dayFirst) return named(dayFirst[3]!, dayFirst[2]!, dayFirst[1]!)
  const monthFirst = MONTH_DAY.exec(text) ?? MONTH_DAY.exec(cell)
  if (monthFirst) return named(monthFirst[3]!, monthFirst[1]!, monthFirst[2]!)
  const yearFirst = YEAR_MONTH.exec(text)
  if (yearFirst) return named(yearFirst[1]!, yearFirst[2]!, yearFirst[3]!)
  return text !== cell ? dateIn(text) : null
}

/** `+01:00`, `-0600`, `UTC-6`, `CST` in minutes east of UTC; `undefined` for letters that say nothing we know. */
export function offsetIn(text: string): number | undefined {
  const lower = text.toLowerCase()
  const known = ABBREVIATIONS[lower]
  if (known !== undefined) return known
  const parts = /^(?:utc|gmt)?\s?([+-])(\d{1,2}):?(\d{2})?$/.exec(lower.replace('−', '-'))
  if (!parts) return undefined
  const minutes = Number(parts[2]) * 60 + Number(parts[3] ?? 0)
  return minutes > 14 * 60 ? undefined : parts[1] === '-' ? -minutes : minutes
}

export function timeIn(cell: string): RawTime | null {
  const parts = TIME.exec(cell)
  if (!parts) return null
  const [, h, m, s, half, zone] = parts
  if (m === undefined && half === undefined) return null
  let hour = Number(h)
  if (half) {
    if (hour < 1 || hour > 12) return null
    hour = (hour % 12) + (/p/i.test(half) ? 12 : 0)
  }
  const [minute, second] = [Number(m ?? 0), Number(s ?? 0)]
  // 24:00 is the end of the day it names
  if (hour > 24 || minute > 59 || second > 59 || (hour === 24 && minute + second > 0)) return null
  const offsetMinutes = zone === undefined ? null : offsetIn(zone)
  if (offsetMinutes === undefined) return null
  return { seconds: hour * 3600 + minute * 60 + second, offsetMinutes, twelveHour: half !== undefined }
}

/** A cell that holds both; the date and the time may be parted by a blank, a comma or a `T`. */
export function stampIn(cell: string): RawStamp | null {
  const at = splitPoint(cell)
  if (at === null) return null
  const date = dateIn(cell.slice(0, at).replace(/[,;]$/, '').trim())
  const time = date && timeIn(cell.slice(at).replace(/^[T,;\s]+/, ''))
  return date && time ? { date, time } : null
}

/** Where the time begins: before the first `h:mm`, or before a lone hour with am or pm. */
function splitPoint(cell: string): number | null {
  const clock = /(?:^|[T\s,;])(\d{1,2}(?::\d{2}|h\d{2}|\.\d{2}(?:\.\d{2})?(?![\d.]))|\d{1,2}\s?[ap]\.?m)/i.exec(cell)
  return clock && clock.index > 0 ? clock.index : null
}

/** Epoch milliseconds of the wall time as if it were UTC; `null` for a day that does not exist. */
export function wallTimeOf(a: number, b: number, c: number, order: DateOrder, seconds: number): number | null {
  const [y, m, d] = order === 'ymd' ? [a, b, c] : order === 'dmy' ? [c, b, a] : [c, a, b]
  const year = fullYear(y)
  if (m < 1 || m > 12 || d < 1 || year < 1970 || year > 2200) return null
  const midnight = Date.UTC(year, m - 1, d)
  return new Date(midnight).getUTCDate() === d && d <= 31 ? midnight + seconds * 1000 : null
}
