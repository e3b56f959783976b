import { Temporal } from 'temporal-polyfill'
import type { SeriesFacts } from '../src/domain/facts.ts'

/** How a made-up monitor writes its file. */
export type Dialect = {
  readonly encoding: 'utf-8' | 'utf-8-bom' | 'utf-16le' | 'utf-16le-bom' | 'utf-16be-bom' | 'windows-1252'
  readonly lineEnd: '\n' | '\r\n' | '\r'
  readonly delimiter: ',' | ';' | '\t' | '|'
  readonly decimalMark: '.' | ','
  /** Every cell in quotes; cells that hold the delimiter are quoted in any case. */
  readonly quoted: boolean
  readonly preamble: readonly string[]
  readonly header: 'names' | 'names-and-units' | 'none'
  readonly unitIn: 'header' | 'cells' | 'column' | 'preamble' | 'nowhere'
  readonly unitSpelling: string
  readonly stamp: 'start' | 'end'
  readonly date: DateStyle
  readonly hours: '12' | '24'
  readonly seconds: boolean
  readonly stampColumns: 'one' | 'two'
  readonly clock: { readonly zone: string } | { readonly offsetMinutes: number }
  /** The stamp states its distance from UTC. */
  readonly stated: boolean
  readonly order: 'rising' | 'falling' | 'shuffled'
  /** Every n-th row is written twice; 0 for none. */
  readonly repeatEvery: number
  readonly missing: 'empty' | 'dashes' | 'omitted'
  readonly side: boolean
  readonly recordNumber: boolean
  readonly footer: readonly string[]
}

export type DateStyle =
  | 'iso'
  | 'iso-t'
  | 'ymd-slash'
  | 'compact'
  | 'dmy-slash'
  | 'mdy-slash'
  | 'dmy-dot'
  | 'dmy-dash'
  | 'dmy-short'
  | 'mdy-short'
  | 'day-month-name'
  | 'month-name-day'

export const PLAIN_DIALECT: Dialect = {
  encoding: 'utf-8',
  lineEnd: '\n',
  delimiter: ',',
  decimalMark: '.',
  quoted: false,
  preamble: [],
  header: 'names',
  unitIn: 'header',
  unitSpelling: 'pCi/L',
  stamp: 'end',
  date: 'iso',
  hours: '24',
  seconds: false,
  stampColumns: 'one',
  clock: { offsetMinutes: 0 },
  stated: false,
  order: 'rising',
  repeatEvery: 0,
  missing: 'empty',
  side: false,
  recordNumber: false,
  footer: [],
}

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']
const two = (n: number): string => String(n).padStart(2, '0')

const DATES: Readonly<Record<DateStyle, (y: number, m: number, d: number) => string>> = {
  iso: (y, m, d) => `${y}-${two(m)}-${two(d)}`,
  'iso-t': (y, m, d) => `${y}-${two(m)}-${two(d)}`,
  'ymd-slash': (y, m, d) => `${y}/${two(m)}/${two(d)}`,
  compact: (y, m, d) => `${y}${two(m)}${two(d)}`,
  'dmy-slash': (y, m, d) => `${two(d)}/${two(m)}/${y}`,
  'mdy-slash': (y, m, d) => `${m}/${d}/${y}`,
  'dmy-dot': (y, m, d) => `${two(d)}.${two(m)}.${y}`,
  'dmy-dash': (y, m, d) => `${d}-${m}-${y}`,
  'dmy-short': (y, m, d) => `${two(d)}/${two(m)}/${two(y % 100)}`,
  'mdy-short': (y, m, d) => `${m}/${d}/${two(y % 100)}`,
  'day-month-name': (y, m, d) => `${d}-${MONTHS[m - 1]}-${y}`,
  'month-name-day': (y, m, d) => `${MONTHS[m - 1]} ${d} ${y}`,
}

function offsetText(minutes: number): string {
  const size = Math.abs(minutes)
  return `${minutes < 0 ? '-' : '+'}${two(Math.floor(size / 60))}:${two(size % 60)}`
}

function stampText(instant: number, dialect: Dialect): readonly [string, string] {
  const zone = 'zone' in dialect.clock ? dialect.clock.zone : offsetText(dialect.clock.offsetMinutes)
  const t = Temporal.Instant.fromEpochMilliseconds(instant).toZonedDateTimeISO(zone)
  const hour = dialect.hours === '24' ? two(t.hour) : String(t.hour % 12 || 12)
  const half = dialect.hours === '24' ? '' : t.hour < 12 ? ' AM' : ' PM'
  const clock = `${hour}:${two(t.minute)}${dialect.seconds || t.second > 0 ? `:${two(t.second)}` : ''}${half}`
  const offset = dialect.stated ? offsetText(t.offsetNanoseconds / 6e10) : ''
  return [DATES[dialect.date](t.year, t.month, t.day), clock + offset]
}

/** Decimal text of a scaled integer, exact. */
export function decimalText(value: number, scale: number, mark: '.' | ','): string {
  const digits = String(Math.abs(value)).padStart(scale + 1, '0')
  const whole = digits.slice(0, digits.length - scale)
  return `${value < 0 ? '-' : ''}${whole}${scale > 0 ? mark + digits.slice(-scale) : ''}`
}

function cellsOfRow(series: SeriesFacts, i: number, dialect: Dialect): readonly string[] {
  const start = series.startAt + (i * series.intervalS + (series.offsetsS[i] ?? 0)) * 1000
  const stamp = stampText(dialect.stamp === 'end' ? start + series.intervalS * 1000 : start, dialect)
  const value = series.values[i] ?? null
  const missing = dialect.missing === 'dashes' ? '--' : ''
  const number = value === null ? missing : decimalText(value, series.scale, dialect.decimalMark)
  return [
    ...(dialect.recordNumber ? [String(i + 1)] : []),
    ...(dialect.stampColumns === 'two' ? stamp : [stamp.join(dialect.date === 'iso-t' ? 'T' : ' ')]),
    ...(dialect.unitIn === 'cells' && value !== null ? [`${number} ${dialect.unitSpelling}`] : [number]),
    ...(dialect.unitIn === 'column' ? [dialect.unitSpelling] : []),
    ...(dialect.side ? sideCells(i, dialect) : []),
  ]
}

/** Side readings that follow the row's number, so that a reader can be checked on them. */
const sideCells = (i: number, dialect: Dialect): readonly string[] => [
  decimalText(680 + (i % 40), 1, dialect.decimalMark),
  String(35 + (i % 20)),
  decimalText(98700 + i, 2, dialect.decimalMark),
  i % 24 === 7 ? 'yes' : 'no',
]

function headerRows(dialect: Dialect): readonly (readonly string[])[] {
  if (dialect.header === 'none') return []
  const inName = dialect.unitIn === 'header' && dialect.header === 'names'
  const edge = dialect.stamp === 'start' ? 'Start ' : ''
  const names = [
    ...(dialect.recordNumber ? ['No.'] : []),
    ...(dialect.stampColumns === 'two' ? [`${edge}Date`, `${edge}Time`] : [`${edge}Date/Time`]),
    inName ? `Radon (${dialect.unitSpelling})` : 'Radon',
    ...(dialect.unitIn === 'column' ? ['Unit'] : []),
    ...(dialect.side ? ['Temperature', 'Humidity', 'Pressure', 'Movement'] : []),
  ]
  if (dialect.header === 'names') return [names]
  const unitFor = (name: string): string =>
    name === 'Radon' && dialect.unitIn === 'header'
      ? dialect.unitSpelling
      : (({ Temperature: '°F', Humidity: '%', Pressure: 'hPa' } as Record<string, string>)[name] ?? '')
  return [names, names.map(unitFor)]
}

/** A fixed shuffle: the same series gives the same file. */
function shuffled<T>(items: readonly T[]): readonly T[] {
  const order = [...items]
  let state = 0x9e3779b9
  for (let i = order.length - 1; i > 0; i--) {
    state = Math.imul(state ^ (state >>> 15), 0x2c1b3c6d) + i
    const j = (state >>> 0) % (i + 1)
    ;[order[i], order[j]] = [order[j]!, order[i]!]
  }
  return order
}

function encoded(text: string, encoding: Dialect['encoding']): Uint8Array {
  if (encoding === 'windows-1252') return Buffer.from(text, 'latin1')
  if (encoding.startsWith('utf-8')) return Buffer.from(encoding === 'utf-8-bom' ? `\ufeff${text}` : text)
  const bytes = Buffer.from(encoding.endsWith('bom') ? `\ufeff${text}` : text, 'utf16le')
  return encoding.startsWith('utf-16be') ? bytes.swap16() : bytes
}

/** A monitor's file of this record in this dialect, as bytes. */
export function writeMonitorFile(series: SeriesFacts, dialect: Dialect): Uint8Array {
  const quote = (cell: string): string =>
    dialect.quoted || cell.includes(dialect.delimiter) || cell.includes('"') ? `"${cell.replaceAll('"', '""')}"` : cell
  const kept = series.values.flatMap((value, i) => (value === null && dialect.missing === 'omitted' ? [] : [i]))
  const rows = kept.flatMap((i, n) => {
    const row = cellsOfRow(series, i, dialect)
    return dialect.repeatEvery > 0 && n % dialect.repeatEvery === 0 ? [row, row] : [row]
  })
  const ordered = dialect.order === 'rising' ? rows : dialect.order === 'falling' ? rows.toReversed() : shuffled(rows)
  const unitLine = dialect.unitIn === 'preamble' ? [`Unit: ${dialect.unitSpelling}`] : []
  const table = [...headerRows(dialect), ...ordered].map(cells => cells.map(quote).join(dialect.delimiter))
  const text = [...dialect.preamble, ...unitLine, ...table, ...dialect.footer].join(dialect.lineEnd) + dialect.lineEnd
  return encoded(text, dialect.encoding)
}
