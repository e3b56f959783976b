import type { LocalDay } from '../facts.ts'
import { civilDayOf, dayText, isLocalDay, monthLength } from './civil-day.ts'
import { addMonths } from './day-sums.ts'
import { monthNames } from './day-words.ts'

/** `2026-11`. */
export type Month = string

export const isMonth = (text: string): boolean => isLocalDay(`${text}-01`)
export const monthOf = (day: LocalDay): Month => day.slice(0, 7)
export const firstDayOf = (month: Month): LocalDay => `${month}-01`
export const monthAfter = (month: Month, count: number): Month => monthOf(addMonths(firstDayOf(month), count))

export function lastDayOf(month: Month): LocalDay {
  const { year, month: number } = civilDayOf(firstDayOf(month))
  return dayText({ year, month: number, day: monthLength(year, number) })
}

/** `Nov 2026`. */
export function monthWords(month: Month): string {
  const { year, month: number } = civilDayOf(firstDayOf(month))
  return `${monthNames[number - 1]} ${year}`
}
