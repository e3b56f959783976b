import type { SeriesFacts } from '../../domain/facts.ts'
import { decodeText } from './decode-text.ts'
import { type Fault, shown, Unreadable } from './fault.ts'
import { layOutSeries, type SideColumn } from './lay-out-series.ts'
import { numberIn } from './number-cell.ts'
import { placeInTime } from './place-in-time.ts'
import { columnOf, type Reading, type ReadingPart } from './reading.ts'
import { type Scanned, type Settled, scanRows } from './scan-rows.ts'
import { linesOf } from './split-line.ts'
import { finished, type Steps } from './steps.ts'
import { instantsOfWallTime } from './zone-offsets.ts'

export type ReadRecord = {
  readonly ok: true
  readonly series: SeriesFacts
  readonly side: readonly SideColumn[]
  readonly counts: {
    readonly rows: number
    readonly repeated: number
    readonly missing: number
    readonly leftOut: number
  }
}
export type NotRead = { readonly ok: false; readonly faults: readonly Fault[]; readonly faultCount: number }
export type ReadOutcome = ReadRecord | NotRead

const OPEN: Readonly<Partial<Record<ReadingPart, string>>> = {
  unit: 'the unit',
  dateOrder: 'whether the day or the month comes first',
  decimalMark: 'the decimal mark',
  clock: 'the clock',
}

/** Parts of a reading that nobody has settled yet. */
export function openParts(reading: Reading): readonly ReadingPart[] {
  const open = (['unit', 'dateOrder', 'decimalMark', 'clock'] as const).filter(part => reading[part] === null)
  return columnOf(reading, 'value') < 0 ? ['columns', ...open] : open
}

const notRead = (faults: readonly Fault[], faultCount = faults.length): NotRead => ({ ok: false, faults, faultCount })

function unanswered(parts: readonly ReadingPart[]): NotRead {
  return notRead(
    parts.map(part => ({
      code: 'unanswered' as const,
      line: null,
      content: '',
      problem: `The file does not say ${OPEN[part] ?? 'which column holds radon'}.`,
      remedy: 'Answer the question; nothing is guessed.',
    })),
  )
}

/** Reads text with a reading that has no open part. */
export function* readText(text: string, reading: Reading): Steps<ReadOutcome> {
  const open = openParts(reading)
  if (open.length > 0) return unanswered(open)
  try {
    const scanned = yield* scanRows(text, reading as Settled)
    if (scanned.faultCount > 0) return notRead(scanned.faults, scanned.faultCount)
    if (scanned.wallMs.length === 0)
      return notRead([
        {
          code: 'no-readings',
          line: null,
          content: '',
          problem: 'There is no reading in the file.',
          remedy: 'Export it again.',
        },
      ])
    yield
    return yield* seriesFrom(text, reading, scanned)
  } catch (error) {
    if (error instanceof Unreadable) return notRead([error.fault])
    throw error
  }
}

function* seriesFrom(text: string, reading: Reading, scanned: Scanned): Steps<ReadOutcome> {
  const { wallMs } = scanned
  const instantsOf = instantsOfWallTime(reading.clock!)
  const placed = placeInTime(wallMs.length, i => wallMs[i]!, instantsOf, reading.repeatedHour)
  yield
  const contentOf = (row: number): string => lineOf(text, scanned.lines[row]!)
  if (placed.skipped.length > 0 || placed.unsettled.length > 0) return notRead(clockFaults(placed, scanned, contentOf))
  const { series, slotOfRow, repeated } = layOutSeries({
    instants: placed.instants,
    mantissas: scanned.mantissas,
    decimals: scanned.decimals,
    lines: scanned.lines,
    contentOf,
    unit: reading.unit!,
    stamp: reading.stamp,
    deviceCorrectedFirstHours: reading.deviceCorrectedFirstHours,
  })
  yield
  const missing = series.values.reduce<number>((n, value) => (value === null ? n + 1 : n), 0)
  const side = scanned.side.map(({ column, cells }) =>
    sideFrom(column, cells, reading, slotOfRow, series.values.length),
  )
  return { ok: true, series, side, counts: { rows: wallMs.length, repeated, missing, leftOut: placed.leftOut } }
}

function clockFaults(
  placed: { readonly skipped: readonly number[]; readonly unsettled: readonly number[] },
  scanned: Scanned,
  contentOf: (row: number) => string,
): readonly Fault[] {
  const skipped = placed.skipped.slice(0, 20).map(
    (row): Fault => ({
      code: 'no-such-time',
      line: scanned.lines[row]!,
      content: contentOf(row),
      problem: 'The clock of this zone skips this hour in spring.',
      remedy: 'The monitor’s clock was not changed: choose a fixed distance from UTC.',
    }),
  )
  const unsettled = placed.unsettled.slice(0, 1).map(
    (row): Fault => ({
      code: 'unanswered',
      line: scanned.lines[row]!,
      content: contentOf(row),
      problem: 'This hour comes twice in autumn, and nothing tells which of the two this row is.',
      remedy: 'Say whether the rows stand in the order they were measured, or leave the hour out.',
    }),
  )
  return [...skipped, ...unsettled]
}

function lineOf(text: string, wanted: number): string {
  for (const [line, content] of linesOf(text)) if (line === wanted) return shown(content)
  return ''
}

function sideFrom(
  column: Reading['columns'][number],
  cells: readonly string[],
  reading: Reading,
  slotOfRow: Int32Array,
  slots: number,
): SideColumn {
  const numbers = new Map<string, ReturnType<typeof numberIn>>()
  for (const cell of cells) if (!numbers.has(cell)) numbers.set(cell, numberIn(cell, reading.decimalMark!))
  const scale = [...numbers.values()].reduce((most, n) => Math.max(most, n?.decimals ?? 0), 0)
  const values: (number | string | null)[] = new Array(slots).fill(null)
  cells.forEach((cell, row) => {
    const slot = slotOfRow[row]!
    const number = numbers.get(cell)
    if (slot >= 0) values[slot] = number ? number.mantissa * 10 ** (scale - number.decimals) : cell === '' ? null : cell
  })
  return { role: column.role as SideColumn['role'], name: column.name, scale, values }
}

/** Reads a monitor's file with a settled reading: the whole record, or every fault and nothing. */
export function* readSteps(bytes: Uint8Array, reading: Reading): Steps<ReadOutcome> {
  try {
    const { text } = decodeText(bytes)
    yield
    return yield* readText(text, reading)
  } catch (error) {
    if (error instanceof Unreadable) return notRead([error.fault])
    throw error
  }
}

export const readWith = (bytes: Uint8Array, reading: Reading): ReadOutcome => finished(readSteps(bytes, reading))
