import { decodeText } from '../monitor-file/decode-text.ts'
import { Unreadable } from '../monitor-file/fault.ts'
import { finished, ROWS_A_STEP, type Steps } from '../monitor-file/steps.ts'
import type { RowFault } from '../table/row-fault.ts'
import { tableRows } from '../table/table-rows.ts'
import { type ReadRow, readResultRow } from './read-result-row.ts'
import type { TableReading } from './table-reading.ts'

export type ReadTable = {
  readonly rows: readonly ReadRow[]
  readonly faults: readonly RowFault[]
  readonly badLines: number
}

/** Every row of a table, read or told apart by line; a settled reading is given. */
export function* readTableSteps(bytes: Uint8Array, reading: TableReading): Steps<ReadTable> {
  const rows: ReadRow[] = []
  const faults: RowFault[] = []
  let badLines = 0
  let seen = 0
  const fail = (found: readonly RowFault[]) => {
    badLines++
    faults.push(...found)
  }
  try {
    for (const { line, cells, text } of tableRows(decodeText(bytes).text, reading.delimiter)) {
      if (line <= (reading.headerLine ?? 0)) continue
      const read = cells && readResultRow(line, cells, reading)
      if (!read)
        fail([
          {
            line,
            column: '',
            value: text.slice(0, 120),
            problem: 'a quotation mark is never closed',
            remedy: 'Close or remove it.',
          },
        ])
      else if (read.ok) rows.push(read.row)
      else fail(read.faults)
      if (++seen % ROWS_A_STEP === 0) yield
    }
  } catch (error) {
    if (!(error instanceof Unreadable)) throw error
    const { problem, remedy } = error.fault
    fail([{ line: error.fault.line ?? 1, column: '', value: '', problem, remedy }])
  }
  return { rows, faults, badLines }
}

export const readTable = (bytes: Uint8Array, reading: TableReading): ReadTable =>
  finished(readTableSteps(bytes, reading))
