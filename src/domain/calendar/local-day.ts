import type { Instant, LocalDay } from '../facts.ts'
import { civilDay, civilDayOf, dayMs, dayNumber, dayText } from './civil-day.ts'
import { addDays } from './day-sums.ts'
import { instantsOfWall } from './wall-time.ts'
import { offsetAt } from './zone-offset.ts'

/** The calendar day that `instant` falls on in `zone`. */
export const localDayOf = (instant: Instant, zone: string): LocalDay =>
  dayText(civilDay(Math.floor((instant + offsetAt(instant, zone)) / dayMs)))

/** The instant a wall clock in `zone` shows `time` (`HH:MM`); after a spring gap the first instant beyond it, of two the first. */
export function instantOn(day: LocalDay, time: string, zone: string): Instant {
  const minutes = Number(time.slice(0, 2)) * 60 + Number(time.slice(3, 5))
  return instantsOfWall(dayNumber(civilDayOf(day)) * dayMs + minutes * 60_000, zone).first
}

/** First instant of the day in `zone`; where midnight is skipped, the first instant after it. */
export const startOfDay = (day: LocalDay, zone: string): Instant => instantOn(day, '00:00', zone)

/** Last millisecond that falls on the day in `zone`. */
export function endOfDay(day: LocalDay, zone: string): Instant {
  const { first, second } = instantsOfWall(dayNumber(civilDayOf(addDays(day, 1))) * dayMs, zone)
  // A clock set back over midnight (St. John's until 2011) returns to the old day before midnight comes again.
  return localDayOf(second - 1, zone) === day ? second - 1 : first - 1
}
