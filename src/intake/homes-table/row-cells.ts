import type { RowFault } from '../table/row-fault.ts'
import type { Place } from './home-facts.ts'
import type { HomeRole, SheetReading } from './homes-reading.ts'

/** A row's cells by what they hold, with what could not be read of them and is kept in words instead. */
export type RowCells = {
  readonly place: Place
  /** The first cell of a role that says anything; blanks and line breaks as one blank. */
  readonly text: (role: HomeRole) => string
  /** All cells of a role that say anything, as written, each with its column's name. */
  readonly all: (role: HomeRole) => readonly { readonly name: string; readonly text: string }[]
  readonly fault: (role: HomeRole, problem: string, remedy: string) => RowFault
  /** Tells a cell that was not understood, and keeps it in words. */
  readonly remark: (role: HomeRole, problem: string, kept?: string) => void
  readonly remarks: readonly RowFault[]
  /** What was kept in words. */
  readonly kept: readonly string[]
}

const oneLine = (cell: string): string => cell.replaceAll(/\s+/g, ' ').trim()
const MOST_KEPT = 2_000

export function rowCells(place: Place, cells: readonly string[], { columns }: SheetReading): RowCells {
  const remarks: RowFault[] = []
  const kept: string[] = []
  const of = (role: HomeRole) => columns.filter(column => column.role === role)
  const all = (role: HomeRole) =>
    of(role).flatMap(({ name, index }) => {
      const text = (cells[index] ?? '').trim()
      return text === '' ? [] : [{ name: name || `Column ${index + 1}`, text }]
    })
  const text = (role: HomeRole) => oneLine(all(role)[0]?.text ?? '')
  const named = (role: HomeRole) => all(role)[0]?.name ?? of(role)[0]?.name ?? role
  const fault = (role: HomeRole, problem: string, remedy: string): RowFault => ({
    ...place,
    column: named(role),
    value: text(role).slice(0, 200),
    problem,
    remedy,
  })
  const remark = (role: HomeRole, problem: string, words = text(role)) => {
    remarks.push({ ...fault(role, problem, 'It is kept as a note of the home.'), value: words.slice(0, 200) })
    kept.push(`${named(role)}: ${words.slice(0, MOST_KEPT)}`)
  }
  return { place, text, all, fault, remark, remarks, kept }
}
