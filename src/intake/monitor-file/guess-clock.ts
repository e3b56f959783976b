import { isZone } from '../../domain/calendar/zone-offset.ts'
import type { Clock, How, Question } from './reading.ts'
import { offsetIn } from './stamp.ts'
import { type ClockChange, clockChangeWithin, instantsOfWallTime } from './zone-offsets.ts'

const ZONE_NAME =
  /\b(?:Africa|America|Antarctica|Asia|Atlantic|Australia|Europe|Indian|Pacific)\/[A-Z][A-Za-z_]+(?:\/[A-Z][A-Za-z_]+)?/
const FIXED = /\b(?:UTC|GMT)\b\s?(?:[+\-−]\s?\d{1,2}(?::?\d{2})?)?/

export type ToldClock = { readonly clock: Clock; readonly how: How }

/** The clock that the text above the readings names, if it does. */
export function clockIn(text: string): ToldClock | null {
  const zone = ZONE_NAME.exec(text)?.[0]
  if (zone && isZone(zone)) return { clock: { kind: 'zone', zone }, how: { by: 'seen', why: `the file names ${zone}` } }
  const fixed = FIXED.exec(text)?.[0]
  const minutes = fixed === undefined ? undefined : offsetIn(fixed.replace(/\s/g, '').replace('−', '-'))
  if (minutes === undefined) return null
  return {
    clock: { kind: 'fixed', offsetMinutes: minutes },
    how: { by: 'seen', why: `the file says “${fixed!.trim()}”` },
  }
}

/** `UTC−6`, `UTC+5:30`. */
export function offsetName(minutes: number): string {
  if (minutes === 0) return 'UTC'
  const size = Math.abs(minutes)
  const rest = size % 60
  return `UTC${minutes < 0 ? '−' : '+'}${Math.floor(size / 60)}${rest === 0 ? '' : `:${String(rest).padStart(2, '0')}`}`
}

/**
 * Asks whether the monitor's clock was changed, when its rows run through the zone's clock change as if there were none:
 * a spring hour that does not exist is present, an autumn hour comes only once, or the steps are even on the wall clock only.
 */
export function clockQuestion(zone: string, walls: readonly number[]): Question | null {
  const low = walls[0]
  const high = walls.at(-1)
  if (low === undefined || high === undefined || low === high) return null
  const change = clockChangeWithin(zone, low - 14 * 3_600_000, high + 14 * 3_600_000)
  if (!change || !runsThrough(zone, walls, change)) return null
  const season = (minutes: number) => (minutes === Math.max(change.before, change.after) ? 'summer' : 'winter')
  const stayed = (minutes: number) => ({
    value: { kind: 'fixed', offsetMinutes: minutes },
    label: `on ${season(minutes)} time all through, ${offsetName(minutes)}`,
  })
  // in spring a clock that followed the zone cannot show the hour that is there
  const followed = { value: { kind: 'zone', zone }, label: `it followed ${zone}, and an hour is missing` }
  return {
    part: 'clock',
    text: 'The clocks changed during this record, and its stamps run on as if they had not. Where did the monitor’s clock stay?',
    choices: [stayed(change.before), stayed(change.after), ...(change.after < change.before ? [followed] : [])],
  }
}

/** Whether the steps around the change are even on the wall and uneven in time. */
function runsThrough(zone: string, walls: readonly number[], change: ClockChange): boolean {
  const instantsOf = instantsOfWallTime({ kind: 'zone', zone })
  const shift = Math.abs(change.after - change.before) * 60_000
  const seamFrom = change.at + Math.min(change.before, change.after) * 60_000
  const seamTo = seamFrom + shift
  if (change.after > change.before) {
    if (walls.some(wall => instantsOf(wall).length === 0)) return true
  } else {
    const inSeam = walls.filter(wall => wall >= seamFrom && wall < seamTo)
    if (inSeam.some((wall, i) => i > 0 && wall <= inSeam[i - 1]!)) return false
  }
  const after = walls.findIndex(wall => wall >= seamTo)
  const before = walls.findLastIndex(wall => wall < seamFrom)
  if (after < 1 || before < 0) return false
  const steps = walls
    .slice(1)
    .map((wall, i) => wall - walls[i]!)
    .filter(step => step > 0)
    .sort((a, b) => a - b)
  const usual = steps[steps.length >> 1]!
  const even = (step: number) =>
    Math.abs(step / usual - Math.max(1, Math.round(step / usual))) * usual <= Math.min(usual / 10, 60_000)
  for (let i = before + 1; i <= after; i++)
    if (!even(walls[i]! - walls[i - 1]!) || walls[i]! - walls[i - 1]! > usual * 1.5) return false
  const acrossMs = instantsOf(walls[after]!)[0]! - instantsOf(walls[before]!)[0]!
  return acrossMs !== walls[after]! - walls[before]!
}
