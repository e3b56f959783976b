import readWorkbook, { type Row } from 'read-excel-file/node'
import { Unreadable } from '../monitor-file/fault.ts'
import type { Roughly, SheetMarks } from './sheet-marks.ts'
import type { Sheet, Sheets } from './sheets.ts'
import type { TableRow } from './table-rows.ts'
import { workbookParts } from './workbook-parts.ts'

const NO_MARKS: SheetMarks = { merged: [], unreckoned: [], errors: [], rough: [], hidden: 0 }
const DAY = 86_400_000
/** From 30 December 1899, which days are mostly counted from, to 1 January 1904. */
const DAYS_TO_1904 = 1_462

/** The sheets of a workbook; throws Unreadable when it is none that is read here. */
export async function openWorkbook(bytes: Buffer): Promise<Sheets> {
  const { sheets: marks, since1904 } = await workbookParts(bytes)
  const read = await sheetsOf(bytes)
  // The reader knows the flag by its `1` alone.
  const late = since1904 === 'true' ? DAYS_TO_1904 : 0
  return {
    delimiter: null,
    sheets: read.map(({ sheet: name, data }, index): Sheet => {
      const of = marks.get(name) ?? NO_MARKS
      const rows = filledDown(textsOf(data, of, late), of.merged)
      return {
        ...{ index, name: name.slice(0, 100), rows: () => rows },
        ...{ unreckoned: of.unreckoned, hidden: of.hidden },
        daysLate: since1904 === 'no' ? 0 : DAYS_TO_1904,
      }
    }),
  }
}

/** The cells as a text file would hold them. An error is what it shows; a month that shows as a month is one. */
function textsOf(data: readonly Row[], { rough, errors }: SheetMarks, late: number): string[][] {
  const shown = new Map(rough.map(({ column, line, shows }) => [`${column} ${line}`, shows]))
  const texts = data.map((row, i) =>
    row.map((cell, column) => cellText(cell, shown.size > 0 ? shown.get(`${column} ${i + 1}`) : undefined, late)),
  )
  for (const { column, line, text } of errors) {
    while (texts.length < line) texts.push([])
    const row = texts[line - 1]!
    while (row.length < column) row.push('')
    row[column] = text
  }
  return texts
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
function cellText(cell: Row[number], shows: Roughly | undefined, late: number): string {
  if (cell === null || cell === undefined) return ''
  const value: unknown = cell
  if (value instanceof Date)
    return Number.isNaN(value.getTime()) ? '' : dayText(new Date(value.getTime() + late * DAY), shows)
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  return typeof value === 'number' ? numberText(value) : String(value).trim()
}

/** The first of a month, or of a year, where only that is shown, is what a workbook makes of a rough date. */
function dayText(value: Date, shows: Roughly | undefined): string {
  const day = value.toISOString().slice(0, 10)
  if (shows === 'year' && day.endsWith('-01-01')) return day.slice(0, 4)
  return shows === 'month' && day.endsWith('-01') ? day.slice(0, 7) : day
}

/** A sum as a sheet shows it: 0.1 + 0.2 is 0.3. Six decimals are more than anything here is measured to. */
const numberText = (value: number): string => {
  const plain = String(Number(value.toPrecision(15)))
  return /\.\d{7,}$/.test(plain) ? String(Number(value.toFixed(6))) : plain
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
