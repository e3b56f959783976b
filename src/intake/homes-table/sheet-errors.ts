import type { RowFault } from '../table/row-fault.ts'
import type { Place } from './home-facts.ts'
import { type HomeRole, type SheetReading, TELLS_HOME } from './homes-reading.ts'

const ERROR = /^#(?:N\/A|REF!|DIV\/0!|VALUE!|NAME\?|NUM!|NULL!|SPILL!|CALC!)$/i
/** What a column too narrow for its numbers shows, and what is saved of it as text. */
const TOO_NARROW = /^#{3,}$/

/** What is wrong with a cell that shows an error of its spreadsheet instead of what it holds; null for any other. */
export function sheetErrorIn(cell: string): Pick<RowFault, 'problem' | 'remedy'> | null {
  if (cell[0] !== '#') return null
  if (ERROR.test(cell))
    return { problem: 'is an error of the spreadsheet', remedy: 'Correct its formula and save the table again' }
  return TOO_NARROW.test(cell)
    ? { problem: 'was saved from a column too narrow to show it', remedy: 'Widen the column and save the table again' }
    : null
}

/** A row with such cells empty, each told. The cell that tells the home stays: without it there is none to take up. */
export function withoutErrors(place: Place, cells: readonly string[], { columns }: SheetReading) {
  if (!cells.some(cell => sheetErrorIn(cell))) return { cells, errors: [] }
  const errors: RowFault[] = []
  const roles = new Map<number, { readonly name: string; readonly role: HomeRole }>(
    columns.map(({ index, ...column }) => [index, column]),
  )
  const plain = cells.map((cell, index) => {
    const error = sheetErrorIn(cell)
    const column = roles.get(index)
    if (!error || !column || TELLS_HOME.has(column.role)) return cell
    const { problem, remedy } = error
    if (column.role !== 'ignored')
      errors.push({
        ...{ ...place, column: column.name || `Column ${index + 1}`, value: cell, problem },
        remedy: `${remedy}, or leave it: it is read as empty.`,
      })
    return ''
  })
  return { cells: plain, errors }
}
