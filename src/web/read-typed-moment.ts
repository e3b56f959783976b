import { localDayOf } from '../domain/calendar/local-day.ts'
import { wallTimeFrom } from '../domain/calendar/wall-time.ts'
import type { Instant } from '../domain/facts.ts'
import { type DateReading, readTypedDate } from './read-typed-date.ts'
import { readTypedTime } from './read-typed-number.ts'

export type TypedMoment =
  | { readonly ok: true; readonly at: Instant | null }
  | { readonly ok: false; readonly part: 'date' | 'time'; readonly fault: string }

/**
 * A date field and a time field as one instant on the home's clock; null when both are empty. A time that the clock
 * skipped moves forward, one that it showed twice is the first. A day alone is its noon; of what has happened, today
 * alone is never later than now.
 */
export function readTypedMoment(date: string, time: string, reading: DateReading): TypedMoment {
  if (date.trim() === '' && time.trim() === '') return { ok: true, at: null }
  if (date.trim() === '') return { ok: false, part: 'date', fault: 'A time stands here without its day: add the day' }
  const day = readTypedDate(date, reading)
  if (!day.ok) return { ok: false, part: 'date', fault: day.fault }
  const dayAlone = time.trim() === ''
  const clock = readTypedTime(dayAlone ? '12:00' : time)
  if (clock === null)
    return { ok: false, part: 'time', fault: 'This is no time of day: write it like 14:30 or 2:30 pm' }
  const wall = wallTimeFrom(`${day.day}T${clock}`, reading.zone)
  const at = wall?.first
  if (at === undefined) return { ok: false, part: 'time', fault: 'The clock did not show this time on that day' }
  const isToday = dayAlone && !reading.ahead && day.day === localDayOf(reading.now, reading.zone)
  return { ok: true, at: isToday ? Math.min(at, reading.now) : at }
}
