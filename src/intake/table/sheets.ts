import { decodeText } from '../monitor-file/decode-text.ts'
import { type Fault, Unreadable } from '../monitor-file/fault.ts'
import type { Delimiter } from '../monitor-file/split-line.ts'
import { type TableRow, tableRows } from './table-rows.ts'

/** One sheet of a table: a text file is a workbook of one that has no name. */
export type Sheet = {
  readonly index: number
  readonly name: string
  readonly rows: () => Iterable<TableRow>
  /** Cells whose formula has no value. */
  readonly unreckoned: readonly { readonly column: number; readonly line: number }[]
  /** Rows that a workbook hides; they are read like the others. */
  readonly hidden: number
  /** By how many days a workbook counts its days later than most do. */
  readonly daysLate: number
}
export type Sheets = { readonly delimiter: Delimiter | null; readonly sheets: readonly Sheet[] }

const DELIMITERS: readonly Delimiter[] = ['\t', ';', ',', '|']
export const MAX_TABLE_BYTES = 50 * 1024 * 1024
/** More rows than this are no company's book, and would be read for minutes. */
export const MAX_ROWS = 100_000

const NO_TABLE: Fault = {
  code: 'no-readings',
  line: null,
  content: '',
  problem: 'No table with at least two columns and two rows was found.',
  remedy: 'Save the sheet as CSV with its header row, and choose that file.',
}

/** The sheets of a text table; throws Unreadable when it is none. */
export function openTextTable(bytes: Uint8Array, told: Delimiter | undefined): Sheets {
  const text = withoutHint(decodeText(bytes, MAX_TABLE_BYTES).text)
  const delimiter = told ?? delimiterOf(text)
  if (!delimiter) throw new Unreadable(NO_TABLE)
  return { delimiter, sheets: [{ index: 0, name: '', rows: () => tableRows(text, delimiter), ...PLAIN }] }
}

const PLAIN = { unreckoned: [], hidden: 0, daysLate: 0 }

/** The first line `sep=;` tells a spreadsheet what parts the cells; it stays a line, so that line numbers hold. */
const withoutHint = (text: string): string => text.replace(/^sep=.(?=\r|\n)/, '')

/** The first rows that say anything. */
export function firstRows(rows: Iterable<TableRow>, count: number): readonly TableRow[] {
  const first: TableRow[] = []
  for (const row of rows) if (first.push(row) === count) break
  return first
}

/** What parts the cells of most rows alike, into the most cells. Titles and notes above a table may have other widths. */
export function delimiterOf(text: string): Delimiter | null {
  let best: { readonly delimiter: Delimiter; readonly score: number } | null = null
  for (const delimiter of DELIMITERS) {
    const widths = firstRows(tableRows(text, delimiter), 40).map(row => row.cells?.length ?? 0)
    const [width, times] = mostCommon(widths.filter(n => n > 1))
    const score = times < 2 ? 0 : times * Math.min(width, 3)
    if (score > (best?.score ?? 3)) best = { delimiter, score }
  }
  return best?.delimiter ?? null
}

function mostCommon(numbers: readonly number[]): readonly [number, number] {
  const times = new Map<number, number>()
  for (const n of numbers) times.set(n, (times.get(n) ?? 0) + 1)
  return [...times].sort((a, b) => b[1] - a[1])[0] ?? [0, 0]
}
