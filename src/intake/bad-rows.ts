import { stringify } from 'csv-stringify/sync'
import { decodeText } from './monitor-file/decode-text.ts'
import type { RowFault } from './results-table/read-result-row.ts'
import type { TableReading } from './results-table/table-reading.ts'
import { tableRows } from './results-table/table-rows.ts'

/** The bad rows of a table as a table of the same columns, with the reason in one more: to correct and import again. */
export function badRowsTable(bytes: Uint8Array, reading: TableReading, faults: readonly RowFault[]): string {
  const reasons = new Map<number, string[]>()
  for (const { line, column, problem, remedy } of faults) {
    const said = reasons.get(line) ?? []
    said.push(`${column}: ${problem}. ${remedy}`)
    reasons.set(line, said)
  }
  const rows = [[...reading.columns.map(({ name }) => name), 'Reason']]
  for (const { line, cells, text } of tableRows(decodeText(bytes).text, reading.delimiter)) {
    const said = reasons.get(line)
    if (said) rows.push([...(cells ?? [text]), said.join(' ')])
  }
  return stringify(rows, { delimiter: reading.delimiter, escape_formulas: true, bom: true })
}
