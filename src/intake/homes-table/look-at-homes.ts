import { isMissing, markIn } from '../monitor-file/number-cell.ts'
import { ROWS_A_STEP, type Steps } from '../monitor-file/steps.ts'
import { withoutUnit } from '../monitor-file/unit-text.ts'
import { noOrders, type OrdersSeen, seeDate } from '../table/date-orders.ts'
import type { Sheet } from '../table/sheets.ts'
import { DATE_ROLES, type HomeRole, RESULT_ROLES, type SheetReading } from './homes-reading.ts'
import { readGaugeCell, readResultCell } from './read-measures.ts'

/** What a look at every cell shows of a table, before any row is read. */
export type Look = {
  rows: number
  readonly rowsOfSheet: Map<number, number>
  /** Up to three different cells of each column, by sheet and index. */
  readonly examples: Map<string, string[]>
  readonly orders: OrdersSeen
  commas: number
  points: number
  eitherMark: number
  resultsWithoutUnit: number
  gaugesWithoutUnit: number
}
export const exampleKey = (sheet: number, column: number): string => `${sheet}:${column}`

const EXAMPLES = 3
const dates = new Set<HomeRole>(DATE_ROLES)
const results = new Set<HomeRole>(RESULT_ROLES)

/** Looks at all cells once: examples, orders of dates, marks of decimals, numbers without a unit. */
export function* lookAtHomes(sheets: readonly Sheet[], readings: readonly SheetReading[]): Steps<Look> {
  const look: Look = {
    rows: 0,
    rowsOfSheet: new Map(),
    examples: new Map(),
    orders: noOrders(),
    commas: 0,
    points: 0,
    eitherMark: 0,
    resultsWithoutUnit: 0,
    gaugesWithoutUnit: 0,
  }
  for (const reading of readings) {
    const sheet = sheets.find(({ index }) => index === reading.index)
    let rows = 0
    for (const { line, cells } of sheet?.rows() ?? []) {
      if (!cells || line <= reading.headerLine) continue
      rows++
      for (const { index, role } of reading.columns) {
        const cell = cells[index] ?? ''
        if (cell === '') continue
        keepExample(look, exampleKey(reading.index, index), cell)
        if (reading.read) seeCell(look, role, cell, line)
      }
      if (rows % ROWS_A_STEP === 0) yield
    }
    look.rowsOfSheet.set(reading.index, rows)
    if (reading.read) look.rows += rows
  }
  return look
}

function keepExample(look: Look, key: string, cell: string): void {
  const kept = look.examples.get(key)
  if (!kept) look.examples.set(key, [short(cell)])
  else if (kept.length < EXAMPLES && !kept.includes(short(cell))) kept.push(short(cell))
}
const short = (cell: string): string => {
  const line = cell.replaceAll(/\s+/g, ' ')
  return line.length > 60 ? `${line.slice(0, 57)}…` : line
}

function seeCell(look: Look, role: HomeRole, cell: string, line: number): void {
  if (dates.has(role)) seeDate(look.orders, cell, line)
  if (results.has(role)) {
    seeMark(look, withoutUnit(cell).replace(/^[<>=~]\s*/, ''))
    const read = readResultCell(cell, '.')
    if (read.kind === 'result' && read.unit === null) look.resultsWithoutUnit++
  }
  if (role === 'gauge' && !isMissing(cell)) {
    seeMark(look, cell.replace(/[^\d.,]+$/, ''))
    const read = readGaugeCell(cell, '.')
    if (read.kind === 'gauge' && read.unit === null) look.gaugesWithoutUnit++
  }
}

function seeMark(look: Look, cell: string): void {
  const mark = markIn(cell)
  if (mark === ',') look.commas++
  else if (mark === '.' || mark === 'either-point') look.points++
  else if (mark === 'either-comma') look.eitherMark++
}
