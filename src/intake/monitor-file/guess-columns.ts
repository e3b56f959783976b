import { namesCounter, namesError, namesRadon, namesSummary, sideRoleOf } from './column-names.ts'
import type { Layout } from './guess-layout.ts'
import { isMissing, markIn } from './number-cell.ts'
import type { Column, ColumnRole } from './reading.ts'
import { unitIn, withoutUnit } from './unit-text.ts'

/** The columns with their roles; without a `value` among them, `candidates` are those it could be. */
export type GuessedColumns = {
  readonly columns: readonly Column[]
  readonly candidates: readonly number[]
  readonly why: string
}

const isNumber = (cell: string): boolean => markIn(cell) !== null || /^[+-]?\d+$/.test(cell)

const numericIn = (sample: Layout['sample'], index: number): boolean => {
  const cells = sample.map(row => withoutUnit(row[index] ?? '')).filter(cell => !isMissing(cell))
  return cells.length > 0 && cells.every(isNumber)
}

/** A running number: each row one more than the row before, or one less, or the same row again. */
function countsUp(sample: Layout['sample'], index: number): boolean {
  const numbers = sample.map(row => row[index] ?? '').map(cell => (/^\d+$/.test(cell) ? Number(cell) : Number.NaN))
  const steps = numbers.slice(1).map((n, i) => n - numbers[i]!)
  const runs = (by: 1 | -1) => steps.every(step => step === 0 || step === by) && steps.includes(by)
  return numbers.length > 2 && (runs(1) || runs(-1))
}

function valueAmong(
  layout: Layout,
  numeric: readonly number[],
): { readonly candidates: readonly number[]; readonly why: string } {
  const name = (i: number) => layout.names[i] ?? ''
  const named = numeric.filter(i => namesRadon(name(i)))
  if (named.length === 1) return { candidates: named, why: `the header names it “${name(named[0]!)}”` }
  if (named.length > 1) {
    const hourly = named.filter(i => !namesSummary(name(i)))
    if (hourly.length > 0 && new Set(hourly.map(i => unitIn(name(i)))).size === hourly.length)
      return { candidates: hourly.slice(0, 1), why: `the first column of radon, “${name(hourly[0]!)}”` }
    return { candidates: hourly.length > 0 ? hourly : named, why: 'several columns name radon' }
  }
  const withUnit = numeric.filter(i => layout.sample.some(row => unitIn(row[i] ?? '') !== null))
  if (withUnit.length === 1) return { candidates: withUnit, why: 'its cells carry a radon unit' }
  const left = numeric.filter(
    i => !sideRoleOf(name(i)) && !namesCounter(name(i)) && !namesError(name(i)) && !countsUp(layout.sample, i),
  )
  return {
    candidates: left,
    why: left.length === 1 ? 'the only column of numbers that could be' : 'several columns of numbers',
  }
}

export function guessColumns(layout: Layout): GuessedColumns {
  const width = Math.max(layout.names.length, ...layout.sample.map(row => row.length))
  const indices = Array.from({ length: width }, (_, i) => i)
  const { date, time } = layout.stamp
  const others = indices.filter(i => i !== date && i !== time)
  const numeric = others.filter(i => numericIn(layout.sample, i))
  const { candidates, why } = valueAmong(layout, numeric)
  const value = candidates.length === 1 ? candidates[0] : undefined
  const taken = new Set<ColumnRole>()
  const roleOf = (i: number): ColumnRole => {
    if (i === date) return time === null ? 'date-time' : 'date'
    if (i === time) return 'time'
    if (i === value) return 'value'
    const cells = layout.sample.map(row => row[i] ?? '').filter(cell => cell !== '')
    if (cells.length > 0 && cells.every(cell => unitIn(cell) !== null && !/\d{2}|^\d/.test(withoutUnit(cell))))
      return 'unit'
    const side = namesRadon(layout.names[i] ?? '') ? null : sideRoleOf(layout.names[i] ?? '')
    if (!side || taken.has(side)) return 'ignored'
    taken.add(side)
    return side
  }
  return {
    columns: indices.map(index => ({ index, role: roleOf(index), name: layout.names[index] ?? '' })),
    candidates,
    why,
  }
}
