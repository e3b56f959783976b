import type { RadonUnit, TestMethod, TestPurpose } from '../../domain/facts.ts'
import { type DecimalMark, isMissing } from '../monitor-file/number-cell.ts'
import { type DateOrder, dateIn, stampIn, timeIn, wallTimeOf } from '../monitor-file/stamp.ts'
import { unitIn, withoutUnit } from '../monitor-file/unit-text.ts'
import { decimalTextIn } from '../table/decimal-text.ts'
import type { RowFault } from '../table/row-fault.ts'
import { floorNamed, methodNamed, purposeNamed } from './table-names.ts'
import { indexOfRole, type TableReading, type TableRole } from './table-reading.ts'

/** A moment on the home's own wall clock (as if UTC, ms), or with its distance from UTC stated. */
export type WallMoment = { readonly wallMs: number; readonly offsetMinutes: number | null }

/** One row of a table as facts; the home is still to be found. */
export type ResultRow = ReadRow & { readonly method: TestMethod; readonly purpose: TestPurpose }

/** The same, as it was read: of a row that names no home, its kit tells what kind of test it was, and for what. */
export type ReadRow = {
  readonly line: number
  readonly home: {
    readonly id: string | null
    readonly street: string
    readonly unit: string
    readonly city: string
    readonly region: string
    readonly postcode: string
  }
  readonly location: string
  readonly floor: number | null
  readonly method: TestMethod | null
  readonly purpose: TestPurpose | null
  readonly start: WallMoment | null
  readonly stop: WallMoment | null
  readonly value: string
  readonly qualifier: '=' | '<' | '>'
  readonly unit: RadonUnit
  readonly uncertainty: string | null
  readonly kitNumber: string | null
  readonly laboratory: string
}

export type RowRead =
  | { readonly ok: true; readonly row: ReadRow }
  | { readonly ok: false; readonly faults: readonly RowFault[] }

type Settled = TableReading & { readonly decimalMark: DecimalMark; readonly dateOrder: DateOrder }
const NOON_S = 12 * 3600
/** What the records of a home, a location and a test hold. */
const LONGEST: readonly (readonly [TableRole, number])[] = [
  ['street', 200],
  ['unit-of-home', 40],
  ['city', 100],
  ['region', 60],
  ['postcode', 20],
  ['location', 100],
  ['kit-number', 60],
  ['laboratory', 200],
]

/** Reads one row; every bad cell is told, not only the first. */
export function readResultRow(line: number, cells: readonly string[], reading: TableReading): RowRead {
  const settled = reading as Settled
  const { constants } = reading
  const faults: RowFault[] = []
  const cell = (role: TableRole): string => (cells[indexOfRole(reading, role)] ?? '').replace(/\s+/g, ' ')
  const bad = (role: TableRole, problem: string, remedy: string): null => {
    const column = reading.columns.find(c => c.role === role)
    faults.push({
      line,
      column: column?.name || (column ? `column ${column.index + 1}` : role),
      value: cell(role),
      problem,
      remedy,
    })
    return null
  }
  const text = (role: TableRole, constant: string | null = null) => cell(role) || constant || ''
  for (const [role, most] of LONGEST)
    if (cell(role).length > most) bad(role, `is longer than ${most} characters`, 'Shorten it.')
  const value =
    resultIn(cell('value'), settled.decimalMark) ?? bad('value', 'is no result', 'Write a number, or < and a number.')
  const unit =
    unitOf(cell('radon-unit'), cell('value'), constants.unit) ??
    bad('radon-unit', 'names no unit that is read here', 'Write pCi/L or Bq/m3.')
  const namesHome = cell('home-id') !== '' || cell('street') !== ''
  const method = !namesHome
    ? null
    : ((cell('method') ? methodNamed(cell('method')) : constants.method) ??
      bad(
        'method',
        'names no method',
        'Write continuous monitor, activated charcoal, electret, alpha track or liquid scintillation.',
      ))
  const purpose = !namesHome
    ? null
    : ((cell('purpose') ? purposeNamed(cell('purpose')) : constants.purpose) ??
      bad('purpose', 'names no purpose', 'Write pre-mitigation, post-mitigation, retest, real-estate or follow-up.'))
  const floor = cell('floor')
    ? (floorNamed(cell('floor'), constants.country) ??
      bad('floor', 'names no floor', 'Write basement, ground floor, or a number.'))
    : null
  const moment = (role: 'start' | 'stop'): WallMoment | null => {
    if (!cell(role)) return constantMoment(constants[role])
    return (
      momentOf(cell(role), cell(`${role}-time`), settled.dateOrder) ??
      bad(role, 'is no date', 'Write it like the other rows, or choose another date order.')
    )
  }
  const [start, stop] = [moment('start'), moment('stop')]
  if (start && stop && stop.wallMs <= start.wallMs) bad('stop', 'is not after the start', 'Correct one of the two.')
  if (!namesHome && !cell('kit-number'))
    bad('street', 'names no home', 'Give its address, its id here, or the number of its kit.')
  const uncertainty = cell('uncertainty')
    ? (decimalTextIn(cell('uncertainty').replace('±', '').trim(), settled.decimalMark) ??
      bad('uncertainty', 'is no number', 'Write a number, or leave it empty.'))
    : null
  if (faults.length > 0 || !value || !unit) return { ok: false, faults }
  return {
    ok: true,
    row: {
      line,
      home: {
        id: cell('home-id') || null,
        street: cell('street'),
        unit: cell('unit-of-home'),
        city: text('city', constants.city),
        region: text('region', constants.region),
        postcode: cell('postcode'),
      },
      location: cell('location'),
      floor,
      method,
      purpose,
      start,
      stop,
      ...value,
      unit,
      uncertainty,
      kitNumber: cell('kit-number') || null,
      laboratory: cell('laboratory'),
    },
  }
}

function resultIn(cell: string, mark: DecimalMark): Pick<ResultRow, 'value' | 'qualifier'> | null {
  const plain = withoutUnit(cell)
  const sign = /^[<>]/.exec(plain)?.[0] as '<' | '>' | undefined
  const number = plain.replace(/^[<>=]\s*/, '')
  if (isMissing(number)) return null
  const value = decimalTextIn(number, mark)
  return value === null ? null : { value, qualifier: sign ?? '=' }
}

function unitOf(cell: string, value: string, constant: ResultRow['unit'] | null): ResultRow['unit'] | null {
  const told = unitIn(cell) ?? unitIn(value)
  if (told === 'pCi/L' || told === 'Bq/m3') return told
  return told === null && cell === '' ? constant : null
}

const constantMoment = (text: string | null): WallMoment | null =>
  text === null ? null : { wallMs: Date.parse(`${text}Z`), offsetMinutes: null }

/** A date with its time, a date with the time in a column beside it, or a date alone: then noon. */
function momentOf(cell: string, beside: string, order: DateOrder): WallMoment | null {
  const whole = stampIn(cell)
  const date = whole?.date ?? dateIn(cell)
  if (!date) return null
  const time = whole?.time ?? (beside ? timeIn(beside) : { seconds: NOON_S, offsetMinutes: null })
  if (!time) return null
  const wallMs = wallTimeOf(date.a, date.b, date.c, date.order === 'ymd' ? 'ymd' : order, time.seconds)
  return wallMs === null ? null : { wallMs, offsetMinutes: time.offsetMinutes }
}
