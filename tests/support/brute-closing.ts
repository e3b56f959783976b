import { DateTime } from 'luxon'
import type { ClosingQuestion } from '../../src/domain/closing/closing-question.ts'

// Every plan on a grid of half hours, by looking at each: no intervals, another calendar, nothing of the reckoning.

const cell = 30 * 60_000
export type Found = { readonly fanStart: number | null; readonly set: number; readonly pickUp: number }
export type Waits = {
  readonly afterFan: number
  readonly closed: number
  readonly length: number
  readonly withinDays: number | null
}

type Grid = { readonly times: readonly number[]; worked(at: number): boolean }

function gridOf({ hours }: ClosingQuestion, from: number, until: number): Grid {
  const times: number[] = []
  for (let at = from; at <= until; at += cell) times.push(at)
  const known = new Map<number, boolean>()
  const worked = (at: number) => {
    const clock = DateTime.fromMillis(at, { zone: hours.zone })
    const time = clock.toFormat('HH:mm')
    const off = hours.holidays.some(({ day }) => day === clock.toISODate())
    return !off && hours.week[clock.weekday - 1]!.some(span => span.from <= time && time < span.until)
  }
  return {
    times,
    worked(at) {
      if (!known.has(at)) known.set(at, worked(at))
      return known.get(at)!
    },
  }
}

/** Every plan that keeps to the rules, reported by the deadline. */
export function plansByBruteForce(question: ClosingQuestion, waits: Waits, days: number): readonly Found[] {
  const { now, durations, crews, deadline, hours, zone } = question
  const grid = gridOf(question, now, now + days * 24 * 2 * cell)
  const away = (busy: readonly { from: number; until: number }[], at: number) =>
    busy.some(({ from, until }) => from < at + cell && until > at)
  const somebody = (can: (busy: readonly { from: number; until: number }[]) => boolean) =>
    crews.some(({ busy }) => can(busy))
  const cells = (minutes: number) => minutes / 30
  const free = (busy: readonly { from: number; until: number }[], from: number, count: number) =>
    Array.from({ length: count }, (_, at) => from + at * cell).every(
      at => at >= now && grid.worked(at) && !away(busy, at),
    )
  const installEnds = (busy: readonly { from: number; until: number }[], at: number) => {
    if (!free(busy, at - cell, 1) && !free(busy, at, 1)) return false
    const day = DateTime.fromMillis(at - 1, { zone: hours.zone }).toISODate()
    let left = cells(durations.installMinutes)
    for (let before = at - cell; left > 0; before -= cell) {
      const sameDay = DateTime.fromMillis(before, { zone: hours.zone }).toISODate() === day
      if (!sameDay || before < now || away(busy, before)) return false
      if (grid.worked(before)) left -= 1
    }
    return true
  }
  const reported = (pickUp: number): number => {
    let left = cells(durations.reportMinutes)
    let at = pickUp + durations.pickUpMinutes * 60_000
    while (left > 0) {
      if (grid.worked(at)) left -= 1
      at += cell
    }
    return at
  }
  const fanStarts =
    question.asks === 'fix-and-result' ? grid.times.filter(at => somebody(busy => installEnds(busy, at))) : [null]
  const sets = grid.times.filter(at =>
    somebody(busy => free(busy, at - durations.setMinutes * 60_000, cells(durations.setMinutes))),
  )
  const pickUps = grid.times.filter(
    at =>
      at <= deadline! && somebody(busy => free(busy, at, cells(durations.pickUpMinutes))) && reported(at) <= deadline!,
  )
  const lastDay = (fan: number) =>
    DateTime.fromMillis(fan, { zone }).plus({ days: waits.withinDays! }).endOf('day').toMillis()
  return fanStarts.flatMap(fanStart =>
    sets.flatMap(set => {
      const closed = fanStart ?? now
      const soonest = Math.max(
        closed + waits.closed,
        fanStart === null ? 0 : fanStart + Math.max(waits.afterFan, durations.setMinutes * 60_000),
      )
      if (set < soonest) return []
      return pickUps
        .filter(
          pickUp =>
            pickUp >= set + waits.length &&
            (fanStart === null || waits.withinDays === null || pickUp <= lastDay(fanStart)),
        )
        .map(pickUp => ({ fanStart, set, pickUp }))
    }),
  )
}
