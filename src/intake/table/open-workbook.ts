import readWorkbook, { type Row } from 'read-excel-file/node'
import { Unreadable } from '../monitor-file/fault.ts'
import type { Sheet, Sheets } from './sheets.ts'
import type { TableRow } from './table-rows.ts'
import { type SheetMarks, workbookParts } from './workbook-parts.ts'

const NO_MARKS: SheetMarks = { merged: [], unreckoned: [] }

/** The sheets of a workbook; throws Unreadable when it is none that is read here. */
export async function openWorkbook(bytes: Buffer): Promise<Sheets> {
  const marks = await workbookParts(bytes)
  const read = await sheetsOf(bytes)
  return {
    delimiter: null,
    sheets: read.map(({ sheet: name, data }, index): Sheet => {
      const { merged, unreckoned } = marks.get(name) ?? NO_MARKS
      const rows = filledDown(
        data.map(row => row.map(cellText)),
        merged,
      )
      return { index, name: name.slice(0, 100), rows: () => rows, unreckoned }
    }),
  }
}

async function sheetsOf(bytes: Buffer) {
  try {
    return await readWorkbook(bytes)
  } catch {
    throw new Unreadable({
      code: 'not-text',
      line: null,
      content: '',
      problem: 'The workbook is damaged, or protected by a password.',
      remedy: 'Open it, save it anew without a password as .xlsx or CSV, then choose that file.',
    })
  }
}

/** A cell as a text file would hold it; a day as `2014-04-12`, whatever it looked like on screen. */
function cellText(cell: Row[number]): string {
  if (cell === null || cell === undefined) return ''
  const value: unknown = cell
  if (value instanceof Date) return Number.isNaN(value.getTime()) ? '' : value.toISOString().slice(0, 10)
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  return String(value).trim()
}

/** Cells merged over several rows say the same in each. Blank rows are left out; the others keep their number. */
function filledDown(data: readonly string[][], merged: SheetMarks['merged']): readonly TableRow[] {
  for (const { column, from, to } of merged) {
    const text = data[from - 1]?.[column] ?? ''
    for (let line = from + 1; text !== '' && line <= Math.min(to, data.length); line++) {
      const row = data[line - 1]!
      if ((row[column] ?? '') === '') row[column] = text
    }
  }
  return data.flatMap((cells, i) =>
    cells.some(cell => cell) ? [{ line: i + 1, text: cells.join(' '), cells: [...cells].map(cell => cell ?? '') }] : [],
  )
}
