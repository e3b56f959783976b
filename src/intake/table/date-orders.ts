import { type DateOrder, dateIn, stampIn } from '../monitor-file/stamp.ts'

/** How the dates of a table can be ordered, counted cell by cell. */
export type OrdersSeen = {
  /** Cells that can only be month first, and where the first few stand. */
  monthFirst: number
  dayFirst: number
  either: number
  monthLines: number[]
  dayLines: number[]
}
export const noOrders = (): OrdersSeen => ({ monthFirst: 0, dayFirst: 0, either: 0, monthLines: [], dayLines: [] })

const LINES_SHOWN = 5

/** Counts one cell in. */
export function seeDate(seen: OrdersSeen, cell: string, line: number): void {
  const date = stampIn(cell)?.date ?? dateIn(cell)
  if (date?.order !== 'unknown') return
  const { a, b } = date
  if (a > 12 && b <= 12) {
    seen.dayFirst++
    if (seen.dayLines.length < LINES_SHOWN) seen.dayLines.push(line)
  } else if (b > 12 && a <= 12) {
    seen.monthFirst++
    if (seen.monthLines.length < LINES_SHOWN) seen.monthLines.push(line)
  } else if (a !== b && a <= 12) seen.either++
}

/** The one order that fits all dates; null while a person must say. */
export function orderOf({ monthFirst, dayFirst, either }: OrdersSeen): DateOrder | null {
  if (monthFirst > 0 && dayFirst > 0) return null
  if (monthFirst > 0) return 'mdy'
  if (dayFirst > 0) return 'dmy'
  return either > 0 ? null : 'ymd'
}

/**
 * Why an order that was told cannot be meant: a fifth of all dates fit the other one only, and none this one only. Of
 * days spread evenly three in five are past the twelfth; a slip of the pen is one in hundreds.
 */
export function orderDenied(told: DateOrder, seen: OrdersSeen): string | null {
  const { monthFirst, dayFirst, either, monthLines, dayLines } = seen
  const [fits, denies, lines, words] =
    told === 'dmy'
      ? [dayFirst, monthFirst, monthLines, ['day', 'month']]
      : told === 'mdy'
        ? [monthFirst, dayFirst, dayLines, ['month', 'day']]
        : [0, 0, [], []]
  if (fits > 0 || denies === 0 || denies * 5 < denies + either) return null
  return `You said that the ${words[0]} comes first, but ${denies} dates can only be ${words[1]} first (rows ${lines.join(', ')}${denies > lines.length ? ' and others' : ''}) and none only ${words[0]} first. Which holds?`
}

/** The question about dates, asked once for the whole table. */
export function orderQuestion({ monthFirst, dayFirst, monthLines, dayLines }: OrdersSeen): string {
  if (monthFirst === 0 && dayFirst === 0) return 'No day passes 12: does the day or the month come first?'
  const rows = (lines: readonly number[]) => `${lines.length === 1 ? 'row' : 'rows'} ${lines.join(', ')}`
  const [few, lines] = monthFirst > dayFirst ? ['day', dayLines] : ['month', monthLines]
  return `${monthFirst} dates can only be month first and ${dayFirst} only day first. Which holds? The ${Math.min(monthFirst, dayFirst)} that are ${few} first (${rows(lines)}${Math.min(monthFirst, dayFirst) > lines.length ? ' and others' : ''}) are then kept as notes.`
}
