import { type Fault, MAX_FAULTS, shown } from './fault.ts'
import { type DecimalMark, isMissing, numberIn } from './number-cell.ts'
import { type Row, readRows } from './read-rows.ts'
import { type Column, columnOf, type Reading } from './reading.ts'
import { type DateOrder, wallTimeOf } from './stamp.ts'
import type { Steps } from './steps.ts'
import { unitIn, withoutUnit } from './unit-text.ts'

/** The rows of a file as numbers; `mantissas` NaN where a reading is missing. */
export type Scanned = {
  readonly wallMs: Float64Array
  readonly mantissas: Float64Array
  readonly decimals: Uint8Array
  readonly lines: Int32Array
  readonly side: readonly { readonly column: Column; readonly cells: readonly string[] }[]
  readonly faults: readonly Fault[]
  readonly faultCount: number
}

const SIDE_ROLES: readonly Column['role'][] = ['temperature', 'humidity', 'pressure', 'movement']
const EARLIEST_YEAR_MS = Date.UTC(1980, 0, 1)

/** Grows by doubling: the number of rows is not known before. */
class Numbers {
  private kept = new Float64Array(1024)
  length = 0
  push(n: number) {
    if (this.length === this.kept.length) {
      const larger = new Float64Array(this.kept.length * 2)
      larger.set(this.kept)
      this.kept = larger
    }
    this.kept[this.length++] = n
  }
  all = (): Float64Array => this.kept.subarray(0, this.length)
}

/** Each text once: a temperature stands in thousands of rows, and every row's cell is a string of its own. */
function each(): (text: string) => string {
  const kept = new Map<string, string>()
  return text => {
    const known = kept.get(text)
    if (known !== undefined) return known
    if (kept.size < DIFFERENT_TEXTS) kept.set(text, text)
    return text
  }
}
const DIFFERENT_TEXTS = 50_000

export type Settled = Reading & { readonly dateOrder: DateOrder; readonly decimalMark: DecimalMark }

/** Reads every row; unreadable cells are faults with their line and stop nothing, so that all are told at once. */
export function* scanRows(text: string, reading: Settled): Steps<Scanned> {
  const valueIndex = columnOf(reading, 'value')
  const unitIndex = columnOf(reading, 'unit')
  const side = reading.columns
    .filter(c => SIDE_ROLES.includes(c.role))
    .map(column => ({ column, cells: [] as string[] }))
  const once = each()
  const [wallMs, mantissas, decimals, lines] = [new Numbers(), new Numbers(), new Numbers(), new Numbers()]
  const own: Fault[] = []
  let ownCount = 0
  const fail = (row: Row, code: Fault['code'], problem: string, remedy: string) => {
    ownCount++
    if (own.length < MAX_FAULTS) own.push({ code, line: row.line, content: shown(row.text), problem, remedy })
  }
  const { faults, faultCount } = yield* readRows(text, reading, row => {
    const wall = wallOf(row, reading)
    if (typeof wall === 'string')
      return fail(row, 'stamp', wall, 'Correct this line, or change how dates and times are read.')
    const cell = row.cells[valueIndex]
    if (cell === undefined || extraCells(row, reading))
      return fail(row, 'ragged', `This line has ${row.cells.length} cells, not ${reading.columns.length}.`, RAGGED)
    const value = valueIn(cell, reading.decimalMark)
    if (typeof value === 'string')
      return fail(row, 'number', value, 'Correct this cell, or empty it if there is no reading.')
    const unit = unitIn(unitIndex >= 0 ? (row.cells[unitIndex] ?? '') : cell)
    if (unit && unit !== reading.unit)
      return fail(row, 'unit', `This reading is not in ${reading.unit}.`, 'Import one unit at a time.')
    wallMs.push(wall)
    mantissas.push(value === null ? Number.NaN : value.mantissa)
    decimals.push(value === null ? 0 : value.decimals)
    lines.push(row.line)
    for (const { column, cells } of side) cells.push(once(row.cells[column.index] ?? ''))
  })
  return {
    wallMs: wallMs.all(),
    mantissas: mantissas.all(),
    decimals: Uint8Array.from(decimals.all()),
    lines: Int32Array.from(lines.all()),
    side,
    faults: [...faults, ...own].sort((a, b) => a.line! - b.line!).slice(0, MAX_FAULTS),
    faultCount: faultCount + ownCount,
  }
}

const RAGGED =
  'Often a decimal comma in a comma-separated file: export with semicolons or tabs, or put the numbers in quotes.'

const extraCells = (row: Row, reading: Reading): boolean =>
  row.cells.length > reading.columns.length && row.cells.slice(reading.columns.length).some(cell => cell !== '')

/** The wall time as if UTC (with a stated offset: the instant itself), or what is wrong with it. */
function wallOf(row: Row, reading: Settled): number | string {
  const { date, time } = row.stamp
  const order = date.order === 'ymd' ? 'ymd' : reading.dateOrder
  const wall = wallTimeOf(date.a, date.b, date.c, order, time.seconds)
  if (wall === null || wall < EARLIEST_YEAR_MS) return 'There is no such day, read in this order.'
  if (time.twelveHour !== (reading.hours === '12'))
    return reading.hours === '12'
      ? 'The time has no am or pm.'
      : 'The time has am or pm where the others count 24 hours.'
  if (reading.clock?.kind !== 'stated') return wall
  return time.offsetMinutes === null
    ? 'The stamp states no distance from UTC, as the others do.'
    : wall - time.offsetMinutes * 60_000
}

function valueIn(cell: string, mark: DecimalMark) {
  const text = withoutUnit(cell)
  if (isMissing(text)) return null
  const value = numberIn(text, mark)
  if (value === null) return `“${shown(cell)}” is not a number.`
  return value.mantissa < 0 ? `“${shown(cell)}” is below zero, which radon cannot be.` : value
}
