import type { RadonUnit, SeriesFacts } from '../../domain/facts.ts'
import { type Fault, Unreadable } from './fault.ts'

/** A side quantity along the record's own grid; numbers are scaled by 10^-scale, words stay words. */
export type SideColumn = {
  readonly role: 'temperature' | 'humidity' | 'pressure' | 'movement'
  readonly name: string
  readonly scale: number
  readonly values: readonly (number | string | null)[]
}
export type LaidOut = { readonly series: SeriesFacts; readonly slotOfRow: Int32Array; readonly repeated: number }

type Stamped = {
  readonly instants: Float64Array
  readonly mantissas: Float64Array
  readonly decimals: Uint8Array
  readonly lines: Int32Array
  readonly contentOf: (row: number) => string
  readonly unit: RadonUnit
  readonly stamp: 'start' | 'end'
  readonly deviceCorrectedFirstHours: boolean
}

const MINUTE_S = 60
const DAY_S = 86_400
/** Lengths that monitors keep, in minutes: a median within 2 % of one is that one. */
const USUAL_MINUTES = [1, 2, 3, 5, 6, 10, 12, 15, 20, 30, 60, 120, 180, 240, 360, 480, 720, 1440]
/** The database keeps a reading as a 4-byte integer. */
const MAX_INTEGER = 2_147_483_647
/** More empty intervals than this, and some date is wrong. */
const mostSlots = (rows: number): number => Math.max(100_000, rows * 20)

const fault = (code: Fault['code'], line: number | null, content: string, problem: string, remedy: string) =>
  new Unreadable({ code, line, content, problem, remedy })

function intervalSecondsOf(instants: readonly number[] | Float64Array, rows: Int32Array): number {
  const gaps = new Float64Array(rows.length - 1)
  for (let i = 1; i < rows.length; i++) gaps[i - 1] = instants[rows[i]!]! - instants[rows[i - 1]!]!
  gaps.sort()
  const median = Math.round(gaps[(gaps.length - 1) >> 1]! / 1000)
  const usual = USUAL_MINUTES.find(minutes => Math.abs(median - minutes * MINUTE_S) <= minutes * MINUTE_S * 0.02)
  return usual ? usual * MINUTE_S : median
}

/** Rows in time order, each instant once; a repeated row must say the same. */
function distinctRows(
  given: Stamped,
  scaled: (row: number) => number | null,
): { readonly rows: Int32Array; readonly repeated: number } {
  const placed = given.instants.findIndex(Number.isNaN) < 0
  let rows = Int32Array.from({ length: given.instants.length }, (_, i) => i)
  if (!placed) rows = rows.filter(i => !Number.isNaN(given.instants[i]!))
  if (rows.some((row, i) => i > 0 && given.instants[row]! < given.instants[rows[i - 1]!]!))
    rows.sort((a, b) => given.instants[a]! - given.instants[b]! || a - b)
  let kept = 0
  for (let i = 0; i < rows.length; i++) {
    const row = rows[i]!
    const before = kept > 0 ? rows[kept - 1]! : -1
    if (before < 0 || given.instants[before] !== given.instants[row]) rows[kept++] = row
    else if (scaled(before) !== scaled(row))
      throw fault(
        'two-values',
        given.lines[row]!,
        given.contentOf(row),
        `Lines ${given.lines[before]} and ${given.lines[row]} give two different values for one instant.`,
        'Remove the wrong one, or say what tells them apart: 12-hour times without am and pm, or a clock that was set back.',
      )
  }
  return { rows: rows.subarray(0, kept), repeated: rows.length - kept }
}

function scaleOf(given: Stamped): { readonly scale: number; readonly scaled: (row: number) => number | null } {
  let decimals = 0
  let largest = 0
  for (let row = 0; row < given.mantissas.length; row++) {
    if (Number.isNaN(given.mantissas[row])) continue
    decimals = Math.max(decimals, given.decimals[row]!)
    largest = Math.max(largest, Math.abs(given.mantissas[row]!) / 10 ** given.decimals[row]!)
  }
  let scale = decimals
  // a binary fraction printed in full carries digits that nothing measured: keep what fits, half away from zero
  while (scale > 0 && largest * 10 ** scale > MAX_INTEGER) scale--
  const scaled = (row: number): number | null => {
    const mantissa = given.mantissas[row]!
    if (Number.isNaN(mantissa)) return null
    const shift = scale - given.decimals[row]!
    if (shift >= 0) return mantissa * 10 ** shift
    const size = Math.round(Math.abs(mantissa) / 10 ** -shift)
    return mantissa < 0 ? -size || 0 : size
  }
  return { scale, scaled }
}

/**
 * A regular series from stamped rows: one slot an interval, `null` where a reading is missing, drift kept in seconds.
 * `slotOfRow` says where each row came to lie (-1 for one left out).
 * @throws Unreadable when one instant has two values or the stamps keep no interval.
 */
export function layOutSeries(given: Stamped): LaidOut {
  const { scale, scaled } = scaleOf(given)
  const { rows, repeated } = distinctRows(given, scaled)
  if (rows.length < 2)
    throw fault(
      'no-readings',
      null,
      '',
      'Fewer than two readings: no interval can be told.',
      'Enter it as a single result.',
    )
  const intervalS = intervalSecondsOf(given.instants, rows)
  if (intervalS < MINUTE_S || intervalS > DAY_S)
    throw fault(
      'interval',
      given.lines[rows[1]!]!,
      given.contentOf(rows[1]!),
      `Readings stand ${intervalS} seconds apart; a record has one every minute to every day.`,
      'Look at the date and time columns, or enter single results.',
    )
  const slots = slotsOf(given, rows, intervalS)
  const first = given.instants[rows[0]!]!
  const startAt = given.stamp === 'end' ? first - intervalS * 1000 : first
  const count = slots.index.at(-1)! + 1
  const values: (number | null)[] = new Array(count).fill(null)
  const slotOfRow = new Int32Array(given.instants.length).fill(-1)
  rows.forEach((row, i) => {
    values[slots.index[i]!] = scaled(row)
    slotOfRow[row] = slots.index[i]!
  })
  const offsetsS = slots.drifts ? offsetsOf(slots, count) : []
  const { unit, deviceCorrectedFirstHours } = given
  return {
    series: { startAt, intervalS, unit, scale, values, offsetsS, deviceCorrectedFirstHours },
    slotOfRow,
    repeated,
  }
}

type Slots = { readonly index: Int32Array; readonly offsetS: Int32Array; readonly drifts: boolean }

function slotsOf(given: Stamped, rows: Int32Array, intervalS: number): Slots {
  const index = new Int32Array(rows.length)
  const offsetS = new Int32Array(rows.length)
  const first = given.instants[rows[0]!]!
  let drifts = false
  let irregular = 0
  for (let i = 1; i < rows.length; i++) {
    const gapS = (given.instants[rows[i]!]! - given.instants[rows[i - 1]!]!) / 1000
    const steps = Math.max(1, Math.round(gapS / intervalS))
    if (Math.abs(gapS - steps * intervalS) > intervalS * 0.25) irregular++
    index[i] = index[i - 1]! + steps
    if (index[i]! > mostSlots(rows.length))
      throw fault(
        'too-far-apart',
        given.lines[rows[i]!]!,
        given.contentOf(rows[i]!),
        'This reading lies too far from the others to be of one record.',
        'Correct its date, or import the parts one by one.',
      )
    offsetS[i] = Math.round((given.instants[rows[i]!]! - first) / 1000) - index[i]! * intervalS
    drifts ||= offsetS[i] !== 0
  }
  if (irregular > Math.max(2, rows.length / 4))
    throw fault(
      'interval',
      null,
      '',
      'The readings keep no interval: most stand at uneven distances.',
      'Look at the date order and the time column; export readings of one length.',
    )
  return { index, offsetS, drifts }
}

/** One offset a slot; a missing slot drifts like the reading before it. */
function offsetsOf(slots: Slots, count: number): readonly number[] {
  const offsets: number[] = new Array(count).fill(0)
  for (let i = 0; i < slots.index.length; i++) {
    const to = i + 1 < slots.index.length ? slots.index[i + 1]! : count
    for (let slot = slots.index[i]!; slot < to; slot++) offsets[slot] = slots.offsetS[i]!
  }
  return offsets
}
