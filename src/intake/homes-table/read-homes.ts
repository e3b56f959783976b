import { finished, ROWS_A_STEP, type Steps } from '../monitor-file/steps.ts'
import type { RowFault } from '../table/row-fault.ts'
import type { Sheet, Sheets } from '../table/sheets.ts'
import type { HomeCells, Place, SkipReason } from './home-facts.ts'
import type { HomesReading, Readers, Settled, SheetReading } from './homes-reading.ts'
import { readHomeRow } from './read-home-row.ts'
import { columnsByRole } from './row-cells.ts'
import { withoutErrors } from './sheet-errors.ts'

export type ReadHomes = {
  readonly homes: readonly HomeCells[]
  readonly faults: readonly RowFault[]
  readonly remarks: readonly RowFault[]
  readonly skipped: readonly (Place & { readonly why: SkipReason })[]
  /** Cells that said the same as the one above them by a ditto mark. */
  readonly dittos: number
}

/** Every row of a table of homes, read or told apart by line; a settled reading is given. */
export function* readHomesSteps({ sheets }: Sheets, reading: HomesReading, readers: Readers): Steps<ReadHomes> {
  const found: Found = { homes: [], faults: [], remarks: [], skipped: [], dittos: 0 }
  for (const sheet of sheets) {
    const of = reading.sheets.find(({ index, read }) => read && index === sheet.index)
    if (of) yield* readSheet(found, sheet, of, reading as Settled, readers)
  }
  return found
}

export const readHomes = (sheets: Sheets, reading: HomesReading, readers: Readers): ReadHomes =>
  finished(readHomesSteps(sheets, reading, readers))

type Found = {
  readonly homes: HomeCells[]
  readonly faults: RowFault[]
  readonly remarks: RowFault[]
  readonly skipped: (Place & { readonly why: SkipReason })[]
  dittos: number
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
      found.homes.push(read.home)
      found.remarks.push(...errors, ...read.remarks)
    } else if (read.kind === 'bad') found.faults.push(...read.faults)
    else found.skipped.push({ ...place, why: read.why })
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
