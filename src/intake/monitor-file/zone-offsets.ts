import { Temporal } from 'temporal-polyfill'
import { instantsOfWall } from '../../domain/calendar/wall-time.ts'
import { offsetAt } from '../../domain/calendar/zone-offset.ts'
import type { Clock } from './reading.ts'

/**
 * From a wall time (as if UTC, epoch ms) to the instants it can mean: none in the hour that spring skips, two in the
 * hour that autumn repeats, the earlier first.
 */
export function instantsOfWallTime(clock: Clock): (wallMs: number) => readonly number[] {
  if (clock.kind === 'fixed') return wallMs => [wallMs - clock.offsetMinutes * 60_000]
  if (clock.kind === 'stated') return wallMs => [wallMs]
  return wallMs => {
    const { kind, first, second } = instantsOfWall(wallMs, clock.zone)
    if (kind === 'skipped') return []
    return kind === 'repeated' ? [first, second] : [first]
  }
}

/** Minutes east of UTC either side of a clock change. */
export type ClockChange = { readonly before: number; readonly after: number; readonly at: number }

/** The first clock change of a zone within a span; `null` without one. */
export function clockChangeWithin(zone: string, from: number, to: number): ClockChange | null {
  const next = Temporal.Instant.fromEpochMilliseconds(from).toZonedDateTimeISO(zone).getTimeZoneTransition('next')
  const at = next?.epochMilliseconds
  if (at === undefined || at > to) return null
  return { before: offsetAt(at - 1, zone) / 60_000, after: offsetAt(at, zone) / 60_000, at }
}
