import type { RowFault } from '../table/row-fault.ts'
import type { Place } from './home-facts.ts'
import type { HomeRole, SheetReading } from './homes-reading.ts'

type Column = SheetReading['columns'][number]
/** The columns of a sheet by what they hold: looked up once a sheet, not once a row. */
export type ColumnsByRole = ReadonlyMap<HomeRole, readonly Column[]>

export function columnsByRole({ columns }: SheetReading): ColumnsByRole {
  const by = new Map<HomeRole, Column[]>()
  for (const column of columns) {
    const of = by.get(column.role)
    if (of) of.push(column)
    else by.set(column.role, [column])
  }
  return by
}

const nameOf = ({ name, index }: Column): string => name || `Column ${index + 1}`
const MOST_KEPT = 2_000
const MOST_SHOWN = 200

/** A row's cells by what they hold, with what could not be read of them and is kept in words instead. */
export class RowCells {
  readonly remarks: RowFault[] = []
  /** What was kept in words. */
  readonly kept: string[] = []
  readonly place: Place
  readonly #cells: readonly string[]
  readonly #columns: ColumnsByRole

  constructor(place: Place, cells: readonly string[], columns: ColumnsByRole) {
    this.place = place
    this.#cells = cells
    this.#columns = columns
  }

  /** The first cell of a role that says anything; blanks of every kind and line breaks as one blank. */
  text(role: HomeRole): string {
    for (const { index } of this.#columns.get(role) ?? []) {
      const cell = (this.#cells[index] ?? '').trim()
      if (cell !== '') return /\s\s|[^\S ]/.test(cell) ? cell.replaceAll(/\s+/g, ' ') : cell
    }
    return ''
  }

  /** All cells of a role that say anything, as written, each with its column's name. */
  all(role: HomeRole): readonly { readonly name: string; readonly text: string }[] {
    return (this.#columns.get(role) ?? []).flatMap(column => {
      const text = (this.#cells[column.index] ?? '').trim()
      return text === '' ? [] : [{ name: nameOf(column), text }]
    })
  }

  fault(role: HomeRole, problem: string, remedy: string): RowFault {
    return { ...this.place, column: this.#named(role), value: this.text(role).slice(0, MOST_SHOWN), problem, remedy }
  }

  /** Tells a cell that was not understood, and keeps it in words. */
  remark(role: HomeRole, problem: string, words = this.text(role)): void {
    const fault = this.fault(role, problem, 'It is kept as a note of the home.')
    this.remarks.push({ ...fault, value: words.slice(0, MOST_SHOWN) })
    this.keep(role, words)
  }

  /** Keeps a cell in words without telling it: what holds for the whole table is told once elsewhere. */
  keep(role: HomeRole, words = this.text(role)): void {
    this.kept.push(`${this.#named(role)}: ${words.slice(0, MOST_KEPT)}`)
  }

  #named(role: HomeRole): string {
    const [column] = this.#columns.get(role) ?? []
    return this.all(role)[0]?.name ?? (column ? nameOf(column) : role)
  }
}
