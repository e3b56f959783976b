import type { Instant } from '../facts.ts'
import { civilDayOf, dayMs, dayNumber, isLocalDay } from './civil-day.ts'
import { offsetAt } from './zone-offset.ts'

/**
 * What a wall-clock reading can mean. `repeated`: the autumn hour, `first` and `second` differ.
 * `skipped`: the spring hour, `first` = `second` = the instant of the change.
 */
export type WallInstants = {
  readonly kind: 'plain' | 'repeated' | 'skipped'
  readonly first: Instant
  readonly second: Instant
}

/** `wallMs`: milliseconds the clock shows since 1970-01-01T00:00 on that clock. */
export function instantsOfWall(wallMs: number, zone: string): WallInstants {
  const before = offsetAt(wallMs - dayMs, zone)
  const after = offsetAt(wallMs + dayMs, zone)
  const early = wallMs - before
  if (before === after) return { kind: 'plain', first: early, second: early }
  const fits = (offset: number) => offsetAt(wallMs - offset, zone) === offset
  const late = wallMs - after
  if (fits(before) && fits(after)) {
    return { kind: 'repeated', first: Math.min(early, late), second: Math.max(early, late) }
  }
  if (fits(before)) return { kind: 'plain', first: early, second: early }
  if (fits(after)) return { kind: 'plain', first: late, second: late }
  const change = changeBetween(Math.min(early, late), Math.max(early, late), zone)
  return { kind: 'skipped', first: change, second: change }
}

function changeBetween(from: Instant, to: Instant, zone: string): Instant {
  const old = offsetAt(from, zone)
  let low = from
  let high = to
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2)
    if (offsetAt(middle, zone) === old) low = middle
    else high = middle
  }
  return high
}

const wall = /^(\d{4}-\d{2}-\d{2})[T ](\d{2}):(\d{2})(?::(\d{2}))?$/

/** Reads `YYYY-MM-DDTHH:MM[:SS]` as shown by a clock in `zone`; null when it is no such text. */
export function wallTimeFrom(text: string, zone: string): WallInstants | null {
  const [, day = '', hour, minute, second = '00'] = wall.exec(text) ?? []
  if (!isLocalDay(day) || Number(hour) > 23 || Number(minute) > 59 || Number(second) > 59) return null
  const seconds = Number(hour) * 3600 + Number(minute) * 60 + Number(second)
  return instantsOfWall(dayNumber(civilDayOf(day)) * dayMs + seconds * 1000, zone)
}
