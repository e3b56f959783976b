import type { Instant, LocalDay } from '../facts.ts'
import { civilDayOf, dayNumber } from './civil-day.ts'
import { addDays } from './day-sums.ts'
import { instantOn, localDayOf, startOfDay } from './local-day.ts'

/** A stretch of a day on the wall's clock: `08:00` to `17:00`; `until` may be `24:00`. */
export type ClockSpan = { readonly from: string; readonly until: string }
/** Seven days, Monday first; several stretches a day, none on a day off. */
export type WorkingWeek = readonly (readonly ClockSpan[])[]
export type Holiday = { readonly day: LocalDay; readonly name: string }
/** When a company works, on the clock of its own zone. */
export type WorkingHours = {
  readonly zone: string
  readonly week: WorkingWeek
  readonly holidays: readonly Holiday[]
}
export type Span = { readonly from: Instant; readonly until: Instant }

/** 0 is Monday. */
export const weekdayIndex = (day: LocalDay): number => (((dayNumber(civilDayOf(day)) + 3) % 7) + 7) % 7

/** The stretches worked on one day, in their order. What the clock skips on a spring night is not there to work in. */
export function workingSpansOn(day: LocalDay, { zone, week, holidays }: WorkingHours): readonly Span[] {
  if (holidays.some(holiday => holiday.day === day)) return []
  const instantAt = (time: string) =>
    time === '24:00' ? startOfDay(addDays(day, 1), zone) : instantOn(day, time, zone)
  return (week[weekdayIndex(day)] ?? [])
    .map(({ from, until }) => ({ from: instantAt(from), until: instantAt(until) }))
    .filter(span => span.until > span.from)
    .sort((a, b) => a.from - b.from)
}

/** What is wrong with the stretches of a day; null when nothing is. */
export function clockSpansFault(spans: readonly ClockSpan[]): string | null {
  const backwards = spans.find(({ from, until }) => until <= from)
  if (backwards) return `${backwards.from} to ${backwards.until} ends before it begins`
  const sorted = [...spans].sort((a, b) => (a.from < b.from ? -1 : 1))
  const overlapping = sorted.find((span, at) => at > 0 && span.from < sorted[at - 1]!.until)
  return overlapping ? `${overlapping.from} lies within the stretch before it` : null
}

/** The days that a stretch of time touches in a zone, first to last. */
export function daysTouched({ from, until }: Span, zone: string): readonly LocalDay[] {
  const days: LocalDay[] = []
  const last = localDayOf(until, zone)
  for (let day = localDayOf(from, zone); day <= last; day = addDays(day, 1)) days.push(day)
  return days
}
