import { isMissing, markIn } from './number-cell.ts'
import { type Cells, cellsOf, type Delimiter } from './split-line.ts'
import { dateIn, stampIn, timeIn } from './stamp.ts'
import { unitIn, withoutUnit } from './unit-text.ts'

/** Where the stamp stands: one column, or a date and a time. */
export type StampColumns = { readonly date: number; readonly time: number | null }
export type Layout = {
  readonly delimiter: Delimiter
  readonly stamp: StampColumns
  /** Counted from 1. */
  readonly headerLine: number | null
  readonly firstDataLine: number
  /** Header and unit row joined, one text a column. */
  readonly names: readonly string[]
  /** Everything above the readings. */
  readonly preamble: string
  readonly sample: readonly (readonly string[])[]
}

const DELIMITERS: readonly Delimiter[] = ['\t', ';', ',', '|']
const SAMPLE_ROWS = 50

export function stampColumnsOf(cells: readonly string[]): StampColumns | null {
  const whole = cells.findIndex(cell => stampIn(cell) !== null)
  if (whole >= 0) return { date: whole, time: null }
  const date = cells.findIndex(cell => dateIn(cell) !== null)
  if (date < 0) return null
  const after = cells.findIndex((cell, i) => i > date && timeIn(cell) !== null)
  const time = after >= 0 ? after : cells.findIndex(cell => timeIn(cell) !== null)
  return time < 0 ? null : { date, time }
}

const isNumeric = (cell: string): boolean =>
  isMissing(cell) || markIn(withoutUnit(cell)) !== null || /^[+-]?\d+$/.test(withoutUnit(cell))

function isReading(cells: Cells, stamp: StampColumns): cells is readonly string[] {
  if (!cells) return false
  const found =
    stamp.time === null
      ? stampIn(cells[stamp.date] ?? '')
      : dateIn(cells[stamp.date] ?? '') && timeIn(cells[stamp.time] ?? '')
  return (
    found !== null && cells.some((cell, i) => i !== stamp.date && i !== stamp.time && cell !== '' && isNumeric(cell))
  )
}

function layoutWith(lines: readonly string[], delimiter: Delimiter): (Layout & { readonly score: number }) | null {
  const rows = lines.map(line => cellsOf(line, delimiter))
  let stamp: StampColumns | null = null
  let first = -1
  for (let i = 0; i < rows.length && first < 0; i++) {
    const cells = rows[i]
    stamp = cells && cells.length > 1 ? stampColumnsOf(cells) : null
    if (stamp && isReading(cells!, stamp)) first = i
  }
  if (!stamp || first < 0) return null
  const columns = stamp
  const readings = rows.slice(first).filter((cells): cells is readonly string[] => isReading(cells ?? null, columns))
  const width = rows[first]!.length
  const header = headerAbove(rows, first, width)
  return {
    delimiter,
    stamp,
    headerLine: header === null ? null : header + 1,
    firstDataLine: first + 1,
    names: namesFrom(rows.slice(header ?? first, first), width),
    preamble: lines.slice(0, first).join('\n'),
    sample: readings.slice(0, SAMPLE_ROWS),
    score: readings.filter(cells => cells.length === width).length,
  }
}

const UNIT_LIKE = /^[([]?(?:[%°]|[a-zµ°]{1,5}(?:[/·. ^-]|$)|y{2,4}|d{1,2}|hh|mm)/i

const looksLikeUnits = (cells: readonly string[]): boolean =>
  cells.every(cell => cell === '' || unitIn(cell) !== null || UNIT_LIKE.test(cell)) &&
  cells.some(cell => unitIn(cell) !== null || /[%°]|hpa|mbar/i.test(cell))

/** Index of the header among the lines above the readings; a row of units may stand between. */
function headerAbove(rows: readonly Cells[], first: number, width: number): number | null {
  const isNames = (i: number): boolean => {
    const cells = rows[i]
    if (!cells || cells.length < 2 || Math.abs(cells.length - width) > 1) return false
    return cells.filter(cell => /\p{L}/u.test(cell)).length >= 2 && stampColumnsOf(cells) === null
  }
  let i = first - 1
  while (i >= 0 && (rows[i] ?? []).every(cell => cell === '')) i--
  if (i < 0) return null
  const above = rows[i]
  if (above && looksLikeUnits(above) && isNames(i - 1)) return i - 1
  return isNames(i) ? i : null
}

const namesFrom = (rows: readonly Cells[], width: number): readonly string[] =>
  Array.from({ length: Math.max(width, rows[0]?.length ?? 0) }, (_, i) =>
    rows
      .map(cells => cells?.[i] ?? '')
      .filter(cell => cell !== '')
      .join(' ')
      .slice(0, 200),
  )

/** How the file is laid out, from its first lines: the delimiter under which most lines are readings. */
export function guessLayout(lines: readonly string[], told?: Delimiter): Layout | null {
  const declared = told ?? (/^sep=(.)$/.exec(lines[0]?.trim() ?? '')?.[1] as Delimiter | undefined)
  const tried = declared && DELIMITERS.includes(declared) ? [declared] : DELIMITERS
  let best: (Layout & { readonly score: number }) | null = null
  for (const delimiter of tried) {
    const layout = layoutWith(lines, delimiter)
    if (layout && (!best || layout.score > best.score)) best = layout
  }
  return best
}
