import { afterLineEnd, endOfLine } from './decode-text.ts'

export type Delimiter = ',' | ';' | '\t' | '|'
/** A cell without its quotes and outer blanks; `null` when a quote was never closed. */
export type Cells = readonly string[] | null

/** The cells of one line. Quotes hold for one line only: no monitor writes a line end inside a cell. */
export function cellsOf(line: string, delimiter: Delimiter): Cells {
  if (!line.includes('"')) return line.split(delimiter).map(cell => cell.trim())
  const cells: string[] = []
  let at = 0
  for (;;) {
    while (line[at] === ' ') at++
    if (line[at] !== '"') {
      const end = line.indexOf(delimiter, at)
      cells.push(line.slice(at, end < 0 ? line.length : end).trim())
      if (end < 0) return cells
      at = end + 1
      continue
    }
    let cell = ''
    for (at++; ; ) {
      const quote = line.indexOf('"', at)
      if (quote < 0) return null
      cell += line.slice(at, quote)
      at = quote + 1
      if (line[at] !== '"') break
      cell += '"'
      at++
    }
    cells.push(cell.trim())
    while (line[at] === ' ') at++
    if (at >= line.length) return cells
    if (line[at] !== delimiter) return null
    at++
  }
}

/** Every line with its number, counted from 1; line ends may be LF, CRLF or CR. */
export function* linesOf(text: string): Generator<readonly [number, string]> {
  for (let from = 0, line = 1; from < text.length; line++) {
    const to = endOfLine(text, from)
    yield [line, text.slice(from, to)]
    from = afterLineEnd(text, to)
  }
}

/** The first `count` lines; index 0 is line 1. */
export function firstLines(text: string, count: number): readonly string[] {
  const lines: string[] = []
  for (const [, line] of linesOf(text)) {
    lines.push(line)
    if (lines.length === count) break
  }
  return lines
}
