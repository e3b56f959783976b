import type { Layout } from './guess-layout.ts'
import { isMissing, markIn } from './number-cell.ts'
import { readRows } from './read-rows.ts'
import { type Column, columnOf } from './reading.ts'
import type { DateOrder } from './stamp.ts'
import type { Steps } from './steps.ts'
import { unitIn, withoutUnit } from './unit-text.ts'

/** What all rows together say of the things that single rows leave open. */
export type Evidence = {
  readonly rows: number
  readonly footerLines: number
  /** Orders under which every date exists; one is certain, more must be asked. */
  readonly dateOrders: readonly DateOrder[]
  /** All days equal their months, so the order does not matter. */
  readonly orderIndifferent: boolean
  readonly exampleDate: string
  readonly twelveHour: boolean
  readonly statesOffset: boolean
  /** `open` when only groups of three digits follow the mark. */
  readonly mark: '.' | ',' | 'open-comma' | null
  readonly unitsInCells: ReadonlySet<string>
}

const NUMBERS: readonly Column['role'][] = ['value', 'temperature', 'humidity', 'pressure']

type Bounds = { maxA: number; maxB: number; minC: number; maxC: number; unknown: number; equal: boolean }

function ordersWithin(bounds: Bounds): readonly DateOrder[] {
  if (bounds.unknown === 0) return ['ymd']
  const twoDigitYear = bounds.maxC < 100
  // the number that moves from row to row is the day: then the year stands first
  if (twoDigitYear && bounds.maxC - bounds.minC > 1 && bounds.maxC <= 31 && bounds.maxB <= 12) return ['ymd']
  const orders: DateOrder[] = []
  if (bounds.maxA <= 31 && bounds.maxB <= 12) orders.push('dmy')
  if (bounds.maxA <= 12 && bounds.maxB <= 31) orders.push('mdy')
  return orders
}

export function* gatherEvidence(
  text: string,
  layout: Layout,
  columns: readonly Column[],
  candidates: readonly number[],
): Steps<Evidence> {
  const shape = { ...layout, columns: [...columns] }
  const numbers = [...shape.columns.filter(c => NUMBERS.includes(c.role)).map(c => c.index), ...candidates]
  const valueIndex = columnOf(shape, 'value')
  const unitIndex = columnOf(shape, 'unit')
  const bounds: Bounds = { maxA: 0, maxB: 0, minC: Number.POSITIVE_INFINITY, maxC: 0, unknown: 0, equal: true }
  const marks = { '.': 0, ',': 0, 'either-comma': 0, 'either-point': 0 }
  const unitsInCells = new Set<string>()
  let rows = 0
  let exampleDate = ''
  let twelveHour = false
  let statesOffset = false
  const { footerLines } = yield* readRows(text, shape, ({ cells, stamp }) => {
    rows++
    const { a, b, c, order } = stamp.date
    if (order === 'unknown') {
      bounds.unknown++
      bounds.maxA = Math.max(bounds.maxA, a)
      bounds.maxB = Math.max(bounds.maxB, b)
      bounds.minC = Math.min(bounds.minC, c)
      bounds.maxC = Math.max(bounds.maxC, c)
      if (a !== b) bounds.equal = false
      if (exampleDate === '' && a !== b) exampleDate = `${a}/${b}`
    }
    twelveHour ||= stamp.time.twelveHour
    statesOffset ||= stamp.time.offsetMinutes !== null
    for (const index of numbers) {
      const cell = cells[index] ?? ''
      const mark = isMissing(cell) ? null : markIn(index === valueIndex ? withoutUnit(cell) : cell)
      if (mark) marks[mark]++
    }
    if (rows <= 1000) {
      const unit = unitIn(unitIndex >= 0 ? (cells[unitIndex] ?? '') : (cells[valueIndex] ?? ''))
      if (unit) unitsInCells.add(unit)
    }
  })
  return {
    rows,
    footerLines,
    dateOrders: ordersWithin(bounds),
    orderIndifferent: bounds.equal,
    exampleDate,
    twelveHour,
    statesOffset,
    mark: markFrom(marks),
    unitsInCells,
  }
}

function markFrom(marks: Readonly<Record<'.' | ',' | 'either-comma' | 'either-point', number>>): Evidence['mark'] {
  if (marks[','] > marks['.']) return ','
  if (marks['.'] > 0) return '.'
  if (marks['either-comma'] > 0) return 'open-comma'
  return marks['either-point'] > 0 ? '.' : null
}
