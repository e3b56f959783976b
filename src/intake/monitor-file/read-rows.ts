import { type Fault, MAX_FAULTS, shown } from './fault.ts'
import { columnOf, type Reading } from './reading.ts'
import { type Cells, cellsOf, linesOf } from './split-line.ts'
import { dateIn, type RawStamp, stampIn, timeIn } from './stamp.ts'
import { ROWS_A_STEP } from './steps.ts'

export type Row = {
  readonly line: number
  readonly text: string
  readonly cells: readonly string[]
  readonly stamp: RawStamp
}
type Shape = Pick<Reading, 'delimiter' | 'headerLine' | 'firstDataLine' | 'columns'>

/** The stamp of a row, from one cell or two. */
export function stampOf(cells: readonly string[], columns: Pick<Reading, 'columns'>): RawStamp | null {
  const whole = columnOf(columns, 'date-time')
  if (whole >= 0) return stampIn(cells[whole] ?? '')
  const date = dateIn(cells[columnOf(columns, 'date')] ?? '')
  const time = date && timeIn(cells[columnOf(columns, 'time')] ?? '')
  return date && time ? { date, time } : null
}

/** Averages, signatures and remarks under a table: a line that begins with words and holds nothing like a stamp. */
function looksLikeFooter(cells: readonly string[], stampIndex: number): boolean {
  const filled = cells.filter(cell => cell !== '')
  const words = filled.length > 0 && !/^\d/.test(filled[0]!)
  return filled.length === 1 || (words && !/\d[:/.-]\d/.test(cells[stampIndex] ?? ''))
}

const whyNoStamp = (line: number, text: string, cells: Cells): Fault =>
  cells === null
    ? {
        code: 'quote',
        line,
        content: shown(text),
        problem: 'A quotation mark is never closed.',
        remedy: 'Close or remove it.',
      }
    : {
        code: 'stamp',
        line,
        content: shown(text),
        problem: 'No date and time can be read here.',
        remedy: 'Correct this line, or choose another column for the stamp.',
      }

/**
 * Every row with a readable stamp. Blank lines and repeated headers pass in silence; lines that are no reading are
 * faults, unless nothing but such lines follows, which makes them a footer.
 */
export function* readRows(
  text: string,
  shape: Shape,
  each: (row: Row) => void,
): Generator<
  undefined,
  { readonly faults: readonly Fault[]; readonly faultCount: number; readonly footerLines: number }
> {
  const faults: Fault[] = []
  let faultCount = 0
  let pending: { readonly fault: Fault; readonly footer: boolean }[] = []
  let pendingCount = 0
  const stampIndex = Math.max(columnOf(shape, 'date-time'), columnOf(shape, 'date'), 0)
  let header: string | null = null
  for (const [line, content] of linesOf(text)) {
    if (line === shape.headerLine) header = content
    if (line < shape.firstDataLine || content.trim() === '' || content === header) continue
    const cells = cellsOf(content, shape.delimiter)
    const stamp = cells && stampOf(cells, shape)
    if (stamp) {
      for (const { fault } of pending) if (faults.length < MAX_FAULTS) faults.push(fault)
      faultCount += pendingCount
      pending = []
      pendingCount = 0
      each({ line, text: content, cells, stamp })
    } else if (cells === null || cells.some(cell => cell !== '')) {
      pendingCount++
      if (pending.length < MAX_FAULTS)
        pending.push({
          fault: whyNoStamp(line, content, cells),
          footer: cells !== null && looksLikeFooter(cells, stampIndex),
        })
    }
    if (line % ROWS_A_STEP === 0) yield
  }
  const wrong = pending.filter(p => !p.footer)
  for (const { fault } of wrong) if (faults.length < MAX_FAULTS) faults.push(fault)
  return { faults, faultCount: faultCount + wrong.length, footerLines: pendingCount - wrong.length }
}
