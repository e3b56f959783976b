import { decodeText } from '../monitor-file/decode-text.ts'
import { type Fault, Unreadable } from '../monitor-file/fault.ts'
import { markIn } from '../monitor-file/number-cell.ts'
import { type DateOrder, dateIn, stampIn } from '../monitor-file/stamp.ts'
import { finished, ROWS_A_STEP, type Steps } from '../monitor-file/steps.ts'
import { unitIn, withoutUnit } from '../monitor-file/unit-text.ts'
import { delimiterOf, firstRows } from '../table/sheets.ts'
import { tableRows } from '../table/table-rows.ts'
import { roleOfHeader } from './table-names.ts'
import { indexOfRole, openTableParts, type TableReading, type TableRole } from './table-reading.ts'

export type ToldTable = Partial<Omit<TableReading, 'constants'>> & {
  readonly constants?: Partial<TableReading['constants']>
}
export type TableProposal = {
  readonly reading: TableReading
  /** What the table does not say and a person must. */
  readonly open: readonly string[]
  readonly questions: readonly { readonly part: string; readonly text: string }[]
  readonly rows: number
  readonly preview: readonly { readonly line: number; readonly cells: readonly string[] }[]
}
export type TableProposed =
  | ({ readonly ok: true } & TableProposal)
  | { readonly ok: false; readonly faults: readonly Fault[] }

const NO_TABLE: Fault = {
  code: 'no-readings',
  line: null,
  content: '',
  problem: 'No table with at least two columns and two rows was found.',
  remedy: 'Export the results as CSV or text with a header row.',
}

const QUESTIONS: Readonly<Record<string, string>> = {
  value: 'Which column holds the result?',
  home: 'Which columns tell the home: its address, its id here, or the number of its kit?',
  unit: 'In which unit are the results?',
  method: 'How were the homes tested?',
  purpose: 'What were the tests for?',
  dateOrder: 'No day passes 12: does the day or the month come first?',
  decimalMark: 'Three digits follow every comma: does it mark decimals, or thousands?',
}

function columnsFrom(header: readonly string[]): TableReading['columns'] {
  const taken = new Set<TableRole>()
  return header.map((name, index) => {
    const role = roleOfHeader(name, taken)
    if (role !== 'ignored') taken.add(role)
    return { index, role, name: name.slice(0, 200) }
  })
}

/** Date orders that fit every date of the table, and whether its numbers show their decimal mark. */
function* looked(
  text: string,
  reading: TableReading,
): Steps<{ rows: number; orders: readonly DateOrder[]; mark: TableReading['decimalMark'] }> {
  const dates = (['start', 'stop'] as const).map(role => indexOfRole(reading, role)).filter(i => i >= 0)
  const numbers = (['value', 'uncertainty'] as const).map(role => indexOfRole(reading, role)).filter(i => i >= 0)
  let [rows, dmy, mdy, open, commas, points, either] = [0, true, true, false, 0, 0, 0]
  for (const { line, cells } of tableRows(text, reading.delimiter)) {
    if (!cells || line <= (reading.headerLine ?? 0)) continue
    rows++
    for (const i of dates) {
      const date = stampIn(cells[i] ?? '')?.date ?? dateIn(cells[i] ?? '')
      if (date?.order !== 'unknown' || date.a === date.b) continue
      open = true
      dmy &&= date.b <= 12
      mdy &&= date.a <= 12
    }
    for (const i of numbers) {
      const mark = markIn(withoutUnit(cells[i] ?? '').replace(/^[<>=]\s*/, ''))
      if (mark === ',') commas++
      else if (mark === '.' || mark === 'either-point') points++
      else if (mark === 'either-comma') either++
    }
    if (rows % ROWS_A_STEP === 0) yield
  }
  const orders: readonly DateOrder[] = !open ? ['ymd'] : dmy && mdy ? ['dmy', 'mdy'] : mdy ? ['mdy'] : ['dmy']
  return { rows, orders, mark: commas > 0 ? ',' : points > 0 ? '.' : either > 0 ? null : '.' }
}

/** A reading of a table of single results, and what it leaves open. Saves nothing. */
export function* proposeTableSteps(bytes: Uint8Array, told: ToldTable = {}): Steps<TableProposed> {
  try {
    const { text } = decodeText(bytes)
    const delimiter = told.delimiter ?? delimiterOf(text)
    if (!delimiter) return { ok: false, faults: [NO_TABLE] }
    const [header, ...sample] = firstRows(tableRows(text, delimiter), 9)
    if (!header?.cells || sample.length === 0) return { ok: false, faults: [NO_TABLE] }
    const columns = told.columns ?? columnsFrom(header.cells)
    const first: TableReading = {
      delimiter,
      decimalMark: null,
      headerLine: header.line,
      columns,
      dateOrder: null,
      unknownHomes: told.unknownHomes ?? 'refuse',
      constants: { ...NO_CONSTANTS, unit: unitOfHeader(columns), ...told.constants },
    }
    const seen = yield* looked(text, first)
    const order = seen.orders.length === 1 ? seen.orders[0]! : null
    const reading = { ...first, dateOrder: told.dateOrder ?? order, decimalMark: told.decimalMark ?? seen.mark }
    const open = openTableParts(reading)
    const questions = open.map(part => ({ part, text: QUESTIONS[part] ?? part }))
    const preview = sample.map(({ line, cells, text: content }) => ({ line, cells: cells ?? [content] }))
    return { ok: true, reading, open, questions, rows: seen.rows, preview }
  } catch (error) {
    if (error instanceof Unreadable) return { ok: false, faults: [error.fault] }
    throw error
  }
}

const NO_CONSTANTS: TableReading['constants'] = {
  method: null,
  purpose: null,
  unit: null,
  start: null,
  stop: null,
  city: null,
  region: null,
  country: 'US',
  zone: null,
  source: 'imported',
}

/** `Radon (pCi/L)`, `radon_pci_per_l`. */
function unitOfHeader(columns: TableReading['columns']): TableReading['constants']['unit'] {
  const unit = unitIn((columns.find(c => c.role === 'value')?.name ?? '').replaceAll('_', ' '))
  return unit === 'pCi/L' || unit === 'Bq/m3' ? unit : null
}

export const proposeTable = (bytes: Uint8Array, told?: ToldTable): TableProposed =>
  finished(proposeTableSteps(bytes, told))
