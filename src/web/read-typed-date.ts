import { dayText, monthLength } from '../domain/calendar/civil-day.ts'
import { addDays, addMonths, addYears, daysBetween } from '../domain/calendar/day-sums.ts'
import { localDayOf } from '../domain/calendar/local-day.ts'
import type { Instant, LocalDay } from '../domain/facts.ts'
import { weekdayOf } from './day-words.ts'

export type TypedDate = { readonly ok: true; readonly day: LocalDay } | { readonly ok: false; readonly fault: string }
/**
 * `order` settles 5/4/2026: month first in the United States, day first elsewhere. `ahead` is for days to come, where
 * `Friday` is the first Friday from tomorrow on; of others nobody knows which Friday is meant.
 */
export type DateReading = {
  readonly now: Instant
  readonly zone: string
  readonly order?: 'month-first' | 'day-first'
  readonly ahead?: true
}

const monthStems = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec']
const weekday = /^(mon|tues?|wed(?:nes)?|thu(?:rs)?|fri|sat(?:ur)?|sun)(?:day)?\.?$/
const near: Record<string, number> = { yesterday: -1, today: 0, tomorrow: 1 }

/**
 * Reads a day as people type it: `2026-05-12`, `12 May 2026`, `May 12`, `5/12/26`, `today`, `in 3 weeks`, and
 * `last Friday`, or where days lie ahead `Friday`.
 * A day without a year is the nearest one to today in the home's zone.
 */
export function readTypedDate(typed: string, { now, zone, order = 'month-first', ahead }: DateReading): TypedDate {
  const today = localDayOf(now, zone)
  const text = typed
    .trim()
    .toLowerCase()
    .replace(/^(mon|tues?|wed(nes)?|thu(rs)?|fri|sat(ur)?|sun)(day)?\.?,?\s+/, '')
    .replace(/(\d)(st|nd|rd|th)\b/g, '$1')
  const moved = near[text]
  if (moved !== undefined) return { ok: true, day: addDays(today, moved) }
  const day =
    distant(text, today) ?? ofTheWeek(text, today, ahead) ?? named(text, today) ?? numbered(text, today, order)
  if (day !== null) return { ok: true, day }
  return { ok: false, fault: `“${typed.trim()}” is no day: write it like 12 May 2026 or 2026-05-12` }
}

function distant(text: string, today: LocalDay): LocalDay | null {
  const [, into, count, unit, ago] = /^(in )?(\d{1,4}) (day|week|month|year)s?( ago)?$/.exec(text) ?? []
  if (count === undefined || (into === undefined) === (ago === undefined)) return null
  const size = Number(count) * (ago ? -1 : 1)
  if (unit === 'day') return addDays(today, size)
  if (unit === 'week') return addDays(today, size * 7)
  return unit === 'month' ? addMonths(today, size) : addYears(today, size)
}

function ofTheWeek(text: string, today: LocalDay, ahead: true | undefined): LocalDay | null {
  const last = text.startsWith('last ')
  const [, word] = weekday.exec(last ? text.slice(5) : text) ?? []
  if (word === undefined || !(last || ahead)) return null
  const days = [1, 2, 3, 4, 5, 6, 7].map(n => addDays(today, last ? -n : n))
  return days.find(day => weekdayOf(day).toLowerCase() === word.slice(0, 3))!
}

function named(text: string, today: LocalDay): LocalDay | null {
  const dayFirst = /^(\d{1,2})\.? ?([a-z]{3,9})\.?,? ?(\d{2}|\d{4})?$/.exec(text)
  const monthFirst = /^([a-z]{3,9})\.? (\d{1,2})(?:,? (\d{4}))?$/.exec(text)
  const [day, word, year] = dayFirst
    ? [dayFirst[1], dayFirst[2], dayFirst[3]]
    : monthFirst
      ? [monthFirst[2], monthFirst[1], monthFirst[3]]
      : []
  const month = monthStems.indexOf((word ?? '').slice(0, 3)) + 1
  return month === 0 ? null : dayOf(year, month, Number(day), today)
}

function numbered(text: string, today: LocalDay, order: 'month-first' | 'day-first'): LocalDay | null {
  const [, isoYear, isoMonth, isoDay] = /^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$/.exec(text) ?? []
  if (isoYear !== undefined) return dayOf(isoYear, Number(isoMonth), Number(isoDay), today)
  const [, first, mark, second, year] = /^(\d{1,2})([./-]) ?(\d{1,2})(?:[./-] ?(\d{4}|\d{2})?)?$/.exec(text) ?? []
  if (first === undefined) return null
  // A point between the numbers is written where the day stands first.
  const dayFirst = order === 'day-first' || mark === '.' || Number(first) > 12
  const [day, month] = dayFirst ? [Number(first), Number(second)] : [Number(second), Number(first)]
  return dayOf(year, month, day, today)
}

function dayOf(year: string | undefined, month: number, day: number, today: LocalDay): LocalDay | null {
  const thisYear = Number(today.slice(0, 4))
  const years = year === undefined ? [thisYear - 1, thisYear, thisYear + 1] : [fullYear(Number(year))]
  const days = years.filter(each => month >= 1 && month <= 12 && day >= 1 && day <= monthLength(each, month))
  const found = days.map(each => dayText({ year: each, month, day }))
  const distance = (each: LocalDay) => Math.abs(daysBetween(today, each))
  return found.sort((a, b) => distance(a) - distance(b))[0] ?? null
}

const fullYear = (year: number): number => (year < 100 ? 2000 + year : year)
