import type { LocalDay } from '../facts.ts'
import { civilDay, civilDayOf, dayNumber, dayText, monthLength } from './civil-day.ts'

/** A span of the calendar as rules state it, ISO 8601: `P30D`, `P91D`, `P3M`, `P2Y`. */
export type Period = string

const period = /^P(\d+)([DWMY])$/
export const isPeriod = (text: string): boolean => period.test(text)

export const addDays = (day: LocalDay, days: number): LocalDay => dayText(civilDay(dayNumber(civilDayOf(day)) + days))

/** Keeps the day of the month where the month has it, else takes the month's last: 31 January + 1 → 28 or 29 February. */
export function addMonths(day: LocalDay, months: number): LocalDay {
  const from = civilDayOf(day)
  const index = from.year * 12 + from.month - 1 + months
  const year = Math.floor(index / 12)
  const month = index - year * 12 + 1
  return dayText({ year, month, day: Math.min(from.day, monthLength(year, month)) })
}

/** 29 February + 1 year → 28 February. */
export const addYears = (day: LocalDay, years: number): LocalDay => addMonths(day, years * 12)

export function addPeriod(day: LocalDay, text: Period): LocalDay {
  const [, count, unit] = period.exec(text) ?? []
  const n = Number(count)
  if (unit === 'D') return addDays(day, n)
  if (unit === 'W') return addDays(day, n * 7)
  if (unit === 'M') return addMonths(day, n)
  if (unit === 'Y') return addYears(day, n)
  throw new RangeError(`Not a period: ${text}`)
}

const unitWords: Record<string, string> = { D: 'day', W: 'week', M: 'month', Y: 'year' }

/** `2 years`, `30 days`: for working and reasons. */
export function periodWords(text: Period): string {
  const [, count = '', unit = ''] = period.exec(text) ?? []
  return `${count} ${unitWords[unit]}${count === '1' ? '' : 's'}`
}

/** Whole days from one local day to another. */
export const daysBetween = (from: LocalDay, to: LocalDay): number =>
  dayNumber(civilDayOf(to)) - dayNumber(civilDayOf(from))
