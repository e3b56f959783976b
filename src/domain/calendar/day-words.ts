import type { LocalDay } from '../facts.ts'
import { civilDayOf } from './civil-day.ts'

export const monthNames = [
  'Jan',
  'Feb',
  'March',
  'April',
  'May',
  'June',
  'July',
  'Aug',
  'Sept',
  'Oct',
  'Nov',
  'Dec',
] as const

/** `12 May 2026`; without the year when `today` stands in the same one. */
export function dayWords(day: LocalDay, today?: LocalDay): string {
  const { year, month, day: number } = civilDayOf(day)
  const words = `${number} ${monthNames[month - 1]}`
  return today !== undefined && civilDayOf(today).year === year ? words : `${words} ${year}`
}
