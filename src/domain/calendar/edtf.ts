import type { Edtf, Instant, LocalDay, When } from '../facts.ts'
import { dayText, isLocalDay, monthLength } from './civil-day.ts'
import { addDays, addMonths } from './day-sums.ts'
import { endOfDay, localDayOf, startOfDay } from './local-day.ts'

/** Where a date is open towards the past: before anything a record can speak of. */
const firstDay: DayRange = { earliest: '0001-01-01', latest: '0001-01-01' }

export type DayRange = { readonly earliest: LocalDay; readonly latest: LocalDay }

const months = (year: number, from: number, to: number): DayRange => ({
  earliest: dayText({ year, month: from, day: 1 }),
  latest: dayText({ year, month: to, day: monthLength(year, to) }),
})

// Level 1 seasons 21-24, northern: winter of a year is its January and February with the December before.
function season(year: number, code: number): DayRange {
  if (code === 24)
    return { earliest: dayText({ year: year - 1, month: 12, day: 1 }), latest: months(year, 2, 2).latest }
  const from = 3 + (code - 21) * 3
  return months(year, from, from + 2)
}

/**
 * The days an approximate date (EDTF level 1: `2011`, `201X`, `2011-04`, `2011-21`, `2011-04-09`, each with `?`,
 * `~` or `%` for a doubtful one, or an interval `a/b`, `../b` where its beginning is open) can mean; null when the
 * text is none of these.
 */
export function edtfDays(text: Edtf): DayRange | null {
  if (text.includes('/')) {
    const [from, to, ...rest] = text.split('/').map((end, i) => (end === '..' && i === 0 ? firstDay : edtfDays(end)))
    return from && to && rest.length === 0 && from.earliest <= to.latest
      ? { earliest: from.earliest, latest: to.latest }
      : null
  }
  const plain = text.replace(/[?~%]$/, '')
  return plain === text ? plainDays(text) : doubtful(plain)
}

// Whoever wrote `2009?` was not sure of the year: it may be the one before or after, and so with every other unit.
function doubtful(plain: string): DayRange | null {
  const days = plainDays(plain)
  if (!days || isLocalDay(plain)) return days && { earliest: addDays(plain, -1), latest: addDays(plain, 1) }
  const months = plain.endsWith('X') ? 120 : plain.length === 4 ? 12 : Number(plain.slice(5)) > 12 ? 3 : 1
  return {
    earliest: addMonths(days.earliest, -months),
    latest: addDays(addMonths(addDays(days.latest, 1), months), -1),
  }
}

function plainDays(plain: string): DayRange | null {
  if (isLocalDay(plain)) return { earliest: plain, latest: plain }
  const decade = /^(\d{3})X$/.exec(plain)?.[1]
  if (decade)
    return {
      earliest: months(Number(`${decade}0`), 1, 12).earliest,
      latest: months(Number(`${decade}9`), 1, 12).latest,
    }
  const [, year, part] = /^(\d{4})(?:-(\d{2}))?$/.exec(plain) ?? []
  if (!year) return null
  if (!part) return months(Number(year), 1, 12)
  const code = Number(part)
  if (code >= 1 && code <= 12) return months(Number(year), code, code)
  return code >= 21 && code <= 24 ? season(Number(year), code) : null
}

/** The days a moment can mean in `zone`; null when it is not known at all. */
export function whenDays(when: When, zone: string): DayRange | null {
  if (when.at !== null) return sameDay(when.at, zone)
  return when.edtf === null ? null : edtfDays(when.edtf)
}

const sameDay = (at: Instant, zone: string): DayRange => {
  const day = localDayOf(at, zone)
  return { earliest: day, latest: day }
}

/** The earliest and the latest instant a moment can mean. */
export type Moment = { readonly earliest: Instant; readonly latest: Instant }

/** The instants a moment can mean in `zone`; null when it is not known at all. */
export function momentOf(when: When, zone: string): Moment | null {
  if (when.at !== null) return { earliest: when.at, latest: when.at }
  const days = whenDays(when, zone)
  return days && { earliest: startOfDay(days.earliest, zone), latest: endOfDay(days.latest, zone) }
}
