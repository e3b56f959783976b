import type { LocalDay } from '../facts.ts'

/** Milliseconds of a day without a clock change. */
export const dayMs = 86_400_000

export type CivilDay = { readonly year: number; readonly month: number; readonly day: number }

const pad = (value: number, width: number) => String(value).padStart(width, '0')
const monthLengths = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]

const isLeap = (year: number) => (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0
export const monthLength = (year: number, month: number): number =>
  month === 2 && isLeap(year) ? 29 : (monthLengths[month - 1] ?? 0)

export const dayText = ({ year, month, day }: CivilDay): LocalDay => `${pad(year, 4)}-${pad(month, 2)}-${pad(day, 2)}`

export const civilDayOf = (day: LocalDay): CivilDay => ({
  year: Number(day.slice(0, 4)),
  month: Number(day.slice(5, 7)),
  day: Number(day.slice(8, 10)),
})

/** Days since 1970-01-01, proleptic Gregorian (Hinnant, days_from_civil). */
export function dayNumber({ year, month, day }: CivilDay): number {
  const y = month <= 2 ? year - 1 : year
  const era = Math.floor(y / 400)
  const yearOfEra = y - era * 400
  const dayOfYear = Math.floor((153 * (month + (month > 2 ? -3 : 9)) + 2) / 5) + day - 1
  const dayOfEra = yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear
  return era * 146_097 + dayOfEra - 719_468
}

/** The inverse of `dayNumber` (Hinnant, civil_from_days). */
export function civilDay(number: number): CivilDay {
  const z = number + 719_468
  const era = Math.floor(z / 146_097)
  const doe = z - era * 146_097
  const yoe = Math.floor((doe - Math.floor(doe / 1460) + Math.floor(doe / 36_524) - Math.floor(doe / 146_096)) / 365)
  const doy = doe - (365 * yoe + Math.floor(yoe / 4) - Math.floor(yoe / 100))
  const mp = Math.floor((5 * doy + 2) / 153)
  const month = mp < 10 ? mp + 3 : mp - 9
  return { year: yoe + era * 400 + (month <= 2 ? 1 : 0), month, day: doy - Math.floor((153 * mp + 2) / 5) + 1 }
}

export const isLocalDay = (text: string): boolean => {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return false
  const { year, month, day } = civilDayOf(text)
  return month >= 1 && month <= 12 && day >= 1 && day <= monthLength(year, month)
}
