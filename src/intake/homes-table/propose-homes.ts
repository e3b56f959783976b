import { type Fault, Unreadable } from '../monitor-file/fault.ts'
import { finished, type Steps } from '../monitor-file/steps.ts'
import { unitIn } from '../monitor-file/unit-text.ts'
import { orderDenied, orderOf, orderQuestion } from '../table/date-orders.ts'
import { firstRows, MAX_ROWS, type Sheet, type Sheets } from '../table/sheets.ts'
import type { TableRow } from '../table/table-rows.ts'
import { rolesOf } from './header-roles.ts'
import {
  columnKey,
  type HomeRole,
  type HomesMapping,
  type HomesReading,
  has,
  RESULT_ROLES,
  type SheetReading,
} from './homes-reading.ts'
import { exampleKey, type Look, lookAtHomes } from './look-at-homes.ts'
import { gaugeUnitIn } from './read-measures.ts'

export type ToldHomes = Partial<Omit<HomesReading, 'constants'>> & {
  readonly constants?: Partial<HomesReading['constants']>
  /** A mapping kept from another file: roles by the names of columns. */
  readonly roles?: HomesMapping['roles']
}
export type ColumnRead = SheetReading['columns'][number] & { readonly examples: readonly string[] }
export type SheetRead = Omit<SheetReading, 'columns'> & {
  readonly rows: number
  readonly columns: readonly ColumnRead[]
}
export type HomesProposal = {
  readonly reading: HomesReading
  readonly open: readonly string[]
  readonly questions: readonly { readonly part: string; readonly text: string }[]
  /** What holds for the whole table and needs no answer. */
  readonly hints: readonly string[]
  readonly rows: number
  readonly sheets: readonly SheetRead[]
}
export type HomesProposed =
  | ({ readonly ok: true } & HomesProposal)
  | { readonly ok: false; readonly faults: readonly Fault[] }

export const NO_CONSTANTS: HomesReading['constants'] = {
  city: null,
  region: null,
  country: 'US',
  zone: null,
  radonUnit: null,
  gaugeUnit: null,
  installedBy: 'unknown',
}

/** A reading of an old table of homes, and what it leaves open. Saves nothing. */
export function* proposeHomesSteps({ delimiter, sheets }: Sheets, told: ToldHomes = {}): Steps<HomesProposed> {
  try {
    const readings = told.sheets ?? sheets.map(sheet => sheetReadingOf(sheet, told.roles ?? {}))
    const look = yield* lookAtHomes(sheets, readings)
    if (look.rows > MAX_ROWS) throw new Unreadable(tooManyRows(look.rows))
    const constants = { ...NO_CONSTANTS, ...unitsOf(readings), ...told.constants }
    const reading: HomesReading = {
      delimiter,
      sheets: [...readings],
      decimalMark: told.decimalMark ?? markOf(look),
      dateOrder: told.dateOrder ?? orderOf(look.orders),
      badRows: told.badRows ?? 'refuse',
      constants,
      doubles: told.doubles ?? {},
    }
    const questions = questionsOf(reading, look)
    return {
      ok: true,
      reading,
      open: questions.map(({ part }) => part),
      questions,
      hints: hintsOf(reading, sheets),
      rows: look.rows,
      sheets: readings.map(sheet => sheetRead(sheet, look)),
    }
  } catch (error) {
    if (error instanceof Unreadable) return { ok: false, faults: [error.fault] }
    throw error
  }
}

export const proposeHomes = (sheets: Sheets, told?: ToldHomes): HomesProposed =>
  finished(proposeHomesSteps(sheets, told))

const tooManyRows = (rows: number): Fault => ({
  code: 'too-large',
  line: null,
  content: '',
  problem: `The table has ${rows} rows; up to ${MAX_ROWS} are read at once.`,
  remedy: 'Part it into several files.',
})

/** Rows that are looked through for the headers: titles and notes may stand above them. */
const ABOVE = 25

function sheetReadingOf(sheet: Sheet, mapping: HomesMapping['roles']): SheetReading {
  const header = headerOf(firstRows(sheet.rows(), ABOVE))
  const names = (header?.cells ?? []).map(name => name.replaceAll(/\s+/g, ' ').trim())
  const roles = rolesOf(names).map((role, i) => mapping[columnKey(names[i]!)] ?? role)
  const columns = names.map((name, index) => ({ index, role: roles[index]!, name: name.slice(0, 200) }))
  const { index, name } = sheet
  const read = roles.some(role => ['address', 'street', 'home-id'].includes(role)) || mapping[''] !== undefined
  return {
    ...{ index, name, headerLine: header?.line ?? 1 },
    read: read || name === '',
    columns: columns.length > 0 ? columns : [{ index: 0, role: 'ignored', name: '' }],
  }
}

/** The row that names most of what a home has; else the first with more than one cell. */
function headerOf(rows: readonly TableRow[]): TableRow | undefined {
  let best: { readonly row: TableRow; readonly named: number } | undefined
  for (const row of rows) {
    const named = new Set(rolesOf(row.cells ?? []).filter(role => role !== 'ignored' && role !== 'note')).size
    if (named >= 2 && named > (best?.named ?? 0) && !holdsFacts(row)) best = { row, named }
  }
  return best?.row ?? rows.find(({ cells }) => (cells ?? []).filter(cell => cell !== '').length > 1)
}

// A row of facts has numbers and dates in it; a header has none.
const holdsFacts = ({ cells }: TableRow): boolean =>
  (cells ?? []).filter(cell => /^[<$]?\d[\d.,/-]*$/.test(cell)).length >= 2

/** Units that the headers name, where all columns agree. */
function unitsOf(sheets: readonly SheetReading[]): Partial<HomesReading['constants']> {
  const names = (roles: readonly HomeRole[]) =>
    sheets
      .filter(({ read }) => read)
      .flatMap(({ columns }) => columns.filter(({ role }) => roles.includes(role)).map(({ name }) => name))
  const radon = new Set(names(RESULT_ROLES).flatMap(name => unitIn(name.replaceAll('_', ' ')) ?? []))
  const gauge = new Set(names(['gauge']).flatMap(name => gaugeUnitIn(name) ?? []))
  const [radonUnit] = radon
  const [gaugeUnit] = gauge
  return {
    ...(radon.size === 1 && (radonUnit === 'pCi/L' || radonUnit === 'Bq/m3') ? { radonUnit } : {}),
    ...(gauge.size === 1 && gaugeUnit ? { gaugeUnit } : {}),
  }
}

const markOf = ({ commas, points, eitherMark }: Look): HomesReading['decimalMark'] =>
  commas > points ? ',' : points > 0 ? '.' : eitherMark > 0 ? null : '.'

function questionsOf(reading: HomesReading, look: Look): { part: string; text: string }[] {
  const { constants } = reading
  const questions: { part: string; text: string }[] = []
  const ask = (when: boolean, part: string, text: string) => {
    if (when) questions.push({ part, text })
  }
  ask(
    !has(reading, 'address', 'street', 'home-id'),
    'home',
    'Which column tells the home: its address, or its id here?',
  )
  ask(
    has(reading, 'street') && !has(reading, 'city', 'home-id', 'address') && constants.city === null,
    'city',
    'No column names a town: in which town are the homes?',
  )
  ask(
    has(reading, ...RESULT_ROLES) &&
      !has(reading, 'before-unit', 'after-unit', 'last-unit') &&
      constants.radonUnit === null &&
      look.resultsWithoutUnit > 0,
    'radonUnit',
    'In which unit are the radon results?',
  )
  ask(
    has(reading, 'gauge') && !has(reading, 'gauge-unit') && constants.gaugeUnit === null && look.gaugesWithoutUnit > 0,
    'gaugeUnit',
    'In which unit are the gauge readings?',
  )
  const denied = reading.dateOrder && orderDenied(reading.dateOrder, look.orders)
  ask(reading.dateOrder === null || denied !== null, 'dateOrder', denied ?? orderQuestion(look.orders))
  ask(
    reading.decimalMark === null,
    'decimalMark',
    'Three digits follow every comma: does it mark decimals, or thousands?',
  )
  return questions
}

function hintsOf(reading: HomesReading, sheets: readonly Sheet[]): string[] {
  const hints: string[] = []
  if (has(reading, 'phone', 'email') && !has(reading, 'owner', 'owner-first-name', 'owner-last-name'))
    hints.push(
      'No column names the owners: phones and mail addresses are kept as notes of the homes. Say below which column names them.',
    )
  for (const { index, name, hidden } of sheets)
    if (hidden > 0 && reading.sheets.some(sheet => sheet.read && sheet.index === index))
      hints.push(
        `${hidden === 1 ? '1 row' : `${hidden} rows`} of the sheet ${name} ${hidden === 1 ? 'is' : 'are'} hidden in the workbook, and read like the others.`,
      )
  return hints
}

const sheetRead = (sheet: SheetReading, look: Look): SheetRead => ({
  ...sheet,
  rows: look.rowsOfSheet.get(sheet.index) ?? 0,
  columns: sheet.columns.map(column => ({
    ...column,
    examples: look.examples.get(exampleKey(sheet.index, column.index)) ?? [],
  })),
})
