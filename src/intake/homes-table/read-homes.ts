import { Unreadable } from '../monitor-file/fault.ts'
import { finished, ROWS_A_STEP, type Steps } from '../monitor-file/steps.ts'
import type { RowFault } from '../table/row-fault.ts'
import type { TableRow } from '../table/table-rows.ts'
import type { HomeCells, Place, SkipReason } from './home-facts.ts'
import type { HomesReading, Readers, Settled, SheetReading } from './homes-reading.ts'
import { openTable } from './propose-homes.ts'
import { readHomeRow } from './read-home-row.ts'

export type ReadHomes = {
  readonly homes: readonly HomeCells[]
  readonly faults: readonly RowFault[]
  readonly remarks: readonly RowFault[]
  readonly skipped: readonly (Place & { readonly why: SkipReason })[]
  /** Cells that said the same as the one above them by a ditto mark. */
  readonly dittos: number
}

/** Every row of a table of homes, read or told apart by line; a settled reading is given. */
export function* readHomesSteps(bytes: Uint8Array, reading: HomesReading, readers: Readers): Steps<ReadHomes> {
  const found: Found = { homes: [], faults: [], remarks: [], skipped: [], dittos: 0 }
  try {
    const { sheets } = openTable(bytes, reading)
    for (const sheet of sheets) {
      const of = reading.sheets.find(({ index, read }) => read && index === sheet.index)
      if (of) yield* readSheet(found, sheet.rows(), of, reading as Settled, readers)
    }
  } catch (error) {
    if (!(error instanceof Unreadable)) throw error
    const { line, problem, remedy } = error.fault
    found.faults.push({ line: line ?? 1, column: '', value: '', problem, remedy })
  }
  return found
}

export const readHomes = (bytes: Uint8Array, reading: HomesReading, readers: Readers): ReadHomes =>
  finished(readHomesSteps(bytes, reading, readers))

type Found = {
  readonly homes: HomeCells[]
  readonly faults: RowFault[]
  readonly remarks: RowFault[]
  readonly skipped: (Place & { readonly why: SkipReason })[]
  dittos: number
}

function* readSheet(
  found: Found,
  rows: Iterable<TableRow>,
  sheet: SheetReading,
  reading: Settled,
  readers: Readers,
): Steps<void> {
  let seen = 0
  let above: readonly string[] = []
  for (const { line, cells, text } of rows) {
    if (line <= sheet.headerLine) continue
    const place = { sheet: sheet.name, line }
    if (!cells) {
      found.faults.push({ ...place, column: '', value: text.slice(0, 120), ...NEVER_CLOSED })
      continue
    }
    const filled = withoutDittos(cells, above)
    found.dittos += filled.dittos
    const read = readHomeRow(place, filled.cells, sheet, reading, readers)
    if (read.kind === 'home') {
      found.homes.push(read.home)
      found.remarks.push(...read.remarks)
    } else if (read.kind === 'bad') found.faults.push(...read.faults)
    else found.skipped.push({ ...place, why: read.why })
    if (read.kind !== 'skipped') above = filled.cells
    if (++seen % (ROWS_A_STEP / 8) === 0) yield
  }
}

const NEVER_CLOSED = { problem: 'a quotation mark is never closed', remedy: 'Close or remove it.' }
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
