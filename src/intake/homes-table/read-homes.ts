import { ROWS_A_STEP, type Steps } from '../monitor-file/steps.ts'
import type { RowFault } from '../table/row-fault.ts'
import type { Sheet, Sheets } from '../table/sheets.ts'
import { type HomeCells, MOST_LISTED, type Place, type SkipReason } from './home-facts.ts'
import type { HomesReading, Readers, Settled, SheetReading } from './homes-reading.ts'
import { readHomeRow } from './read-home-row.ts'
import { columnsByRole } from './row-cells.ts'
import { withoutErrors } from './sheet-errors.ts'

/** What was met while a table was read, beside its homes. */
export type RowsRead = {
  readonly faults: readonly RowFault[]
  /** The first of them; all are counted. */
  readonly remarks: readonly RowFault[]
  readonly remarked: number
  /** The first of them; all are counted. */
  readonly skipped: readonly Skipped[]
  readonly passedOver: number
  /** Cells that said the same as the one above them by a ditto mark. */
  readonly dittos: number
}
type Skipped = Place & { readonly why: SkipReason }

/** Every row of a table of homes, handed on one by one or told apart by line; a settled reading is given. */
export function* readHomesSteps(
  { sheets }: Sheets,
  reading: HomesReading,
  readers: Readers,
  take: (home: HomeCells) => void,
): Steps<RowsRead> {
  const found: Found = { take, faults: [], remarks: [], remarked: 0, skipped: [], passedOver: 0, dittos: 0 }
  for (const sheet of sheets) {
    const of = reading.sheets.find(({ index, read }) => read && index === sheet.index)
    if (of) yield* readSheet(found, sheet, of, reading as Settled, readers)
  }
  return found
}

type Found = {
  readonly take: (home: HomeCells) => void
  readonly faults: RowFault[]
  readonly remarks: RowFault[]
  remarked: number
  readonly skipped: Skipped[]
  passedOver: number
  dittos: number
}

function remark(found: Found, remarks: readonly RowFault[]): void {
  found.remarked += remarks.length
  if (remarks.length > 0) found.remarks.push(...remarks.slice(0, MOST_LISTED - found.remarks.length))
}

function passOver(found: Found, row: Skipped): void {
  found.passedOver++
  if (found.skipped.length < MOST_LISTED) found.skipped.push(row)
}

function* readSheet(
  found: Found,
  { rows, unreckoned, daysLate }: Sheet,
  sheet: SheetReading,
  reading: Settled,
  who: Readers,
): Steps<void> {
  const columns = columnsByRole(sheet)
  const readers = { ...who, daysLate }
  let seen = 0
  let above: readonly string[] = []
  const withoutValue = unreckonedIn(sheet, unreckoned)
  for (const { line, cells, text } of rows()) {
    if (line <= sheet.headerLine) continue
    const place = { sheet: sheet.name, line }
    if (!cells) {
      found.faults.push({ ...place, column: '', value: text.slice(0, 120), ...NEVER_CLOSED })
      continue
    }
    const blank = withoutValue.get(line)
    if (blank) {
      found.faults.push({ ...place, column: blank, value: '', ...NO_VALUE })
      continue
    }
    const filled = withoutDittos(cells, above)
    found.dittos += filled.dittos
    const { cells: said, errors } = withoutErrors(place, filled.cells, sheet)
    const read = readHomeRow(place, said, sheet, columns, reading, readers)
    if (read.kind === 'home') {
      found.take(read.home)
      remark(found, [...errors, ...read.remarks])
    } else if (read.kind === 'bad') found.faults.push(...read.faults)
    else passOver(found, { ...place, why: read.why })
    if (read.kind !== 'skipped') above = filled.cells
    if (++seen % (ROWS_A_STEP / 8) === 0) yield
  }
}

const NEVER_CLOSED = { problem: 'a quotation mark is never closed', remedy: 'Close or remove it.' }
const NO_VALUE = {
  problem: 'is a formula without a value',
  remedy: 'Open the workbook, let it reckon, and save it again.',
}

/** The lines on which a column that is read has a formula without a value, and the column. */
const unreckonedIn = ({ columns }: SheetReading, unreckoned: Sheet['unreckoned']): ReadonlyMap<number, string> =>
  new Map(
    unreckoned.flatMap(({ line, column }) => {
      const of = columns.find(({ index, role }) => index === column && role !== 'ignored')
      return of ? [[line, of.name || `Column ${column + 1}`] as const] : []
    }),
  )
const DITTO = /^(?:"|''|〃|”|“|ditto|do\.|same(?: as above)?|- ?" ?-)$/i

/** A ditto mark says what the cell above says. */
function withoutDittos(cells: readonly string[], above: readonly string[]) {
  if (!cells.some(cell => DITTO.test(cell))) return { cells, dittos: 0 }
  let dittos = 0
  const filled = cells.map((cell, i) => {
    if (!DITTO.test(cell) || !above[i]) return cell
    dittos++
    return above[i]!
  })
  return { cells: filled, dittos }
}
