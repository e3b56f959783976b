import { daysTouched, type Span, type WorkingHours, workingSpansOn } from '../calendar/working-hours.ts'
import type { Instant } from '../facts.ts'
import type { CrewTime, Durations } from './closing-question.ts'
import { type Intervals, united, without } from './intervals.ts'
import { endsWithin } from './work-time.ts'

const minuteMs = 60_000

/** When each step of a plan can be done by somebody: moments, not stretches. */
export type FreeTimes = {
  /** The fan comes on: an installation ends. */
  readonly fanStart: Intervals
  /** A device begins to measure: the visit that sets it ends. */
  readonly set: Intervals
  /** A device stops: the visit that picks it up begins. */
  readonly pickUp: Intervals
}

/** The working stretches of every day of `span`, clipped to it, by day. */
export const daysWorked = (hours: WorkingHours, span: Span): readonly (readonly Span[])[] =>
  daysTouched(span, hours.zone).map(day =>
    united(workingSpansOn(day, hours))
      .map(({ from, until }) => ({ from: Math.max(from, span.from), until: Math.min(until, span.until) }))
      .filter(({ from, until }) => until > from),
  )

/** Stretches of one day that one person works through: breaks part none, a visit elsewhere does. */
export function runsOf(day: readonly Span[], busy: readonly Span[]): readonly (readonly Span[])[] {
  const runs: Span[][] = []
  for (const piece of day.flatMap(span => without(span, busy))) {
    const run = runs.at(-1)
    const before = run?.at(-1)
    const elsewhere = before && busy.some(({ from, until }) => from < piece.from && until > before.until)
    if (run && !elsewhere) run.push(piece)
    else runs.push([piece])
  }
  return runs
}

/** When one person can do each step. */
export function freeTimesOf(
  days: readonly (readonly Span[])[],
  { busy }: CrewTime,
  { installMinutes, setMinutes, pickUpMinutes }: Durations,
): FreeTimes {
  const runs = days.flatMap(day => runsOf(day, busy))
  const pieces = runs.flat()
  const shortened = (least: number, most: number) =>
    pieces
      .map(({ from, until }) => ({ from: from + least * minuteMs, until: until - most * minuteMs }))
      .filter(({ from, until }) => until >= from)
  return {
    fanStart: united(runs.flatMap(run => endsWithin(run, installMinutes * minuteMs))),
    set: united(shortened(setMinutes, 0)),
    pickUp: united(shortened(0, pickUpMinutes)),
  }
}

/** When somebody can do each step. */
export function timesOfAll(times: readonly FreeTimes[]): FreeTimes {
  const all = (step: keyof FreeTimes) => united(times.flatMap(one => one[step]))
  return { fanStart: all('fanStart'), set: all('set'), pickUp: all('pickUp') }
}

/** Nothing is proposed at odd minutes because the question came at one. */
export const quarterAfter = (at: Instant): Instant => Math.ceil(at / (15 * minuteMs)) * 15 * minuteMs

/** From now to well beyond the deadline, so that a plan that comes too late can still be told. */
export const horizonOf = (now: Instant, deadline: Instant | null): Span => {
  const last = Math.max(now, deadline ?? now)
  return { from: quarterAfter(now), until: last + 120 * 86_400_000 }
}
