import { addDays } from '../../domain/calendar/day-sums.ts'
import { localDayOf, startOfDay } from '../../domain/calendar/local-day.ts'
import type { Instant, LocalDay } from '../../domain/facts.ts'

/** The plot within the picture, in user units. */
export const plot = { left: 44, right: 392, top: 26, bottom: 214, width: 400, height: 246 } as const

export type RecordScale = {
  readonly x: (at: Instant) => number
  readonly y: (value: number) => number
  readonly valueTicks: readonly number[]
  readonly dayTicks: readonly { readonly day: LocalDay; readonly at: Instant }[]
}

const niceSteps = [0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000]

/** The axis starts at nothing, so that a height is to another as the numbers are; the level is always in sight. */
export function scaleOf(from: Instant, to: Instant, highest: number, zone: string): RecordScale {
  const step = niceSteps.find(size => highest / size <= 4) ?? 20000
  const top = Math.max(step, Math.ceil((highest * 1.04) / step) * step)
  const x = (at: Instant) => plot.left + ((at - from) / (to - from)) * (plot.right - plot.left)
  const y = (value: number) => plot.bottom - (value / top) * (plot.bottom - plot.top)
  const valueTicks = Array.from({ length: Math.round(top / step) + 1 }, (_, index) => index * step)
  return { x, y, valueTicks, dayTicks: dayTicksOf(from, to, zone) }
}

function dayTicksOf(from: Instant, to: Instant, zone: string): RecordScale['dayTicks'] {
  const ticks = []
  for (let day = addDays(localDayOf(from, zone), 1); startOfDay(day, zone) < to; day = addDays(day, 1))
    ticks.push({ day, at: startOfDay(day, zone) })
  // At most six labels fit at the width of a phone.
  const every = Math.ceil(ticks.length / 6)
  return ticks.filter((_, index) => index % every === 0)
}
