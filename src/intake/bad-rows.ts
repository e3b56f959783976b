import { stringify } from 'csv-stringify/sync'
import type { HomesReading } from './homes-table/homes-reading.ts'
import { decodeText } from './monitor-file/decode-text.ts'
import type { TableReading } from './results-table/table-reading.ts'
import { openSheets } from './table/open-sheets.ts'
import type { RowFault } from './table/row-fault.ts'
import { type TableRow, tableRows } from './table/table-rows.ts'

/** The bad rows of a table as a table of the same columns, with the reason in one more: to correct and import again. */
export function badRowsTable(bytes: Uint8Array, reading: TableReading, faults: readonly RowFault[]): string {
  const header = reading.columns.map(({ name }) => name)
  const rows = tableRows(decodeText(bytes).text, reading.delimiter)
  return printed([[...header, 'Reason'], ...withReasons(rows, '', faults)], reading.delimiter)
}

/** The same of a table of homes; the sheets of a workbook one below the other, each under its headers. */
export async function badHomesTable(
  bytes: Buffer,
  reading: HomesReading,
  faults: readonly RowFault[],
): Promise<string> {
  const file = await openSheets(bytes, reading.delimiter)
  const sheets = file.ok ? file.opened.sheets : []
  const parts = reading.sheets.flatMap(({ index, name, columns }) => {
    const rows = [...withReasons(sheets.find(sheet => sheet.index === index)?.rows() ?? [], name, faults)]
    return rows.length === 0 ? [] : [[...columns.map(column => column.name), 'Reason'], ...rows]
  })
  return printed(parts, reading.delimiter ?? ',')
}

function* withReasons(rows: Iterable<TableRow>, ofSheet: string, faults: readonly RowFault[]): Generator<string[]> {
  const reasons = new Map<number, string[]>()
  for (const { sheet = '', line, column, problem, remedy } of faults) {
    if (sheet !== ofSheet) continue
    const said = reasons.get(line) ?? []
    said.push(`${column}: ${problem}. ${remedy}`)
    reasons.set(line, said)
  }
  for (const { line, cells, text } of rows) {
    const said = reasons.get(line)
    if (said) yield [...(cells ?? [text]), said.join(' ')]
  }
}

const printed = (rows: readonly (readonly string[])[], delimiter: string): string =>
  stringify(
    rows.map(row => [...row]),
    { delimiter, escape_formulas: true, bom: true },
  )
