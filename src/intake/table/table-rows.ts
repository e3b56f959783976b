import { type Cells, cellsOf, type Delimiter, linesOf } from '../monitor-file/split-line.ts'

export type TableRow = { readonly line: number; readonly text: string; readonly cells: Cells }

/** Lines that one quoted cell may run over: an address in three lines, not a file whose quote was never closed. */
const MOST_LINES_OF_A_CELL = 20

/** The records of a table; a quoted cell may run over line ends. Blank records are left out. */
export function* tableRows(text: string, delimiter: Delimiter): Generator<TableRow> {
  let open: { readonly line: number; readonly parts: string[] } | null = null
  for (const [line, content] of linesOf(text)) {
    const started: { readonly line: number; readonly parts: string[] } = open ?? { line, parts: [] }
    started.parts.push(content)
    const joined = started.parts.join('\n')
    const cells = cellsOf(joined, delimiter)
    if (cells === null && started.parts.length < MOST_LINES_OF_A_CELL) {
      open = started
      continue
    }
    open = null
    if (cells === null || cells.some(cell => cell !== '')) yield { line: started.line, text: joined, cells }
  }
  if (open) yield { line: open.line, text: open.parts.join('\n'), cells: null }
}
