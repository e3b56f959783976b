import { Temporal } from 'temporal-polyfill'
import { type Dialect, PLAIN_DIALECT } from '../../seed/monitor-files.ts'
import type { SeriesFacts } from '../../src/domain/facts.ts'

export type DialectCase = { readonly zone: string; readonly series: SeriesFacts; readonly dialect: Dialect }

/** mulberry32: the same seed gives the same matrix. */
function chooser(seed: number) {
  let state = seed
  const next = (): number => {
    state = (state + 0x6d2b79f5) | 0
    let t = Math.imul(state ^ (state >>> 15), 1 | state)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
  return { next, pick: <T>(items: readonly T[]): T => items[Math.floor(next() * items.length)]! }
}

/** Starts: no day over 12, days over 12, across autumn's change, across spring's. */
const PERIODS = [
  { zone: 'America/Chicago', from: '2025-11-03T16:00' },
  { zone: 'America/Chicago', from: '2025-11-14T09:00' },
  { zone: 'America/Chicago', from: '2025-11-01T10:00' },
  { zone: 'America/Chicago', from: '2026-03-07T08:00' },
  { zone: 'Europe/Berlin', from: '2025-10-25T12:00' },
  { zone: 'Europe/London', from: '2026-03-28T12:00' },
  { zone: 'Asia/Kolkata', from: '2026-01-20T06:00' },
  { zone: 'America/Phoenix', from: '2026-02-09T18:00' },
] as const

const INTERVALS_S = [60, 600, 900, 1800, 3600, 3600, 3600, 10_800, 86_400] as const
const PREAMBLES = [
  [],
  [],
  ['Serial number: 48213', 'Location: basement, family room', ''],
  ['Radon log', 'sep by device'],
  ['Exported 2026'],
] as const

function seriesIn(period: (typeof PERIODS)[number], { pick, next }: ReturnType<typeof chooser>): SeriesFacts {
  const intervalS = pick(INTERVALS_S)
  const count = intervalS === 86_400 ? 95 : intervalS === 60 ? 2600 : Math.ceil((60 * 3600) / intervalS) + 8
  const unit = pick(['pCi/L', 'Bq/m3'] as const)
  const scale = unit === 'pCi/L' ? pick([1, 2]) : pick([0, 1])
  const gaps = next() < 0.3
  const drift = next() < 0.2 ? pick([1, -1]) : 0
  const values = Array.from({ length: count }, (_, i) =>
    gaps && i > 5 && i < count - 5 && next() < 0.05
      ? null
      : Math.floor((20 + 15 * Math.sin(i / 7) + next() * 20) * (unit === 'pCi/L' ? 1 : 4)),
  )
  return {
    startAt: Temporal.PlainDateTime.from(period.from).toZonedDateTime(period.zone).epochMilliseconds,
    intervalS,
    unit,
    scale,
    values,
    offsetsS: drift === 0 ? [] : values.map((_, i) => i * drift),
    deviceCorrectedFirstHours: false,
  }
}

function dialectFor(
  series: SeriesFacts,
  period: (typeof PERIODS)[number],
  { pick, next }: ReturnType<typeof chooser>,
): Dialect {
  const header = pick(['names', 'names', 'names-and-units', 'none'] as const)
  const delimiter = pick([',', ';', '\t'] as const)
  const unitIn = pick(['header', 'header', 'cells', 'column', 'preamble', 'nowhere'] as const)
  const clockKind = pick(['zone', 'zone', 'stated', 'named'] as const)
  const offsetMinutes = pick([0, -360, 60, 330])
  const encoding = pick([
    'utf-8',
    'utf-8',
    'utf-8-bom',
    'utf-16le',
    'utf-16le-bom',
    'utf-16be-bom',
    'windows-1252',
  ] as const)
  return {
    ...PLAIN_DIALECT,
    encoding,
    lineEnd: pick(['\n', '\r\n', '\r\n', '\r']),
    delimiter,
    decimalMark: pick(['.', ',']),
    quoted: next() < 0.2,
    preamble: [
      ...pick(PREAMBLES),
      ...(clockKind === 'named'
        ? [
            `Time zone: UTC${offsetMinutes < 0 ? '-' : '+'}${new Date(Math.abs(offsetMinutes) * 60_000).toISOString().slice(11, 16)}`,
          ]
        : []),
    ],
    header,
    unitIn,
    unitSpelling:
      series.unit === 'pCi/L'
        ? pick(['pCi/L', 'pCi/l', 'PCI/L', 'pCi·L-1', 'picocuries per liter'])
        : pick(['Bq/m3', 'Bq/m³', 'BQ/M3', 'Bq m-3', 'Bq/m^3', 'becquerel per cubic metre']),
    stamp: header === 'none' ? 'end' : pick(['start', 'end']),
    date: pick([
      'iso',
      'iso-t',
      'ymd-slash',
      'compact',
      'dmy-slash',
      'mdy-slash',
      'dmy-dot',
      'dmy-dash',
      'dmy-short',
      'mdy-short',
      'day-month-name',
      'month-name-day',
    ] as const),
    hours: pick(['24', '24', '12']),
    seconds: next() < 0.5,
    stampColumns: pick(['one', 'two']),
    clock:
      clockKind === 'named' || (clockKind === 'stated' && next() < 0.5) ? { offsetMinutes } : { zone: period.zone },
    stated: clockKind === 'stated',
    order: pick(['rising', 'rising', 'falling', 'shuffled']),
    repeatEvery: 0,
    missing: pick(['empty', 'dashes']),
    side: next() < 0.4,
    recordNumber: next() < 0.25,
    footer: next() < 0.2 ? ['', `Average${delimiter}3`, 'End of record'] : [],
  }
}

/** `count` records, each in a dialect of its own, drawn from all features at once. */
export function dialectMatrix(count: number, seed = 1): readonly DialectCase[] {
  const chance = chooser(seed)
  return Array.from({ length: count }, (_, n) => {
    const period = PERIODS[n % PERIODS.length]!
    const series = seriesIn(period, chance)
    return { zone: period.zone, series, dialect: dialectFor(series, period, chance) }
  })
}

/** What a reader has to find out, by place: two of them together are what one alone may hide. */
const featuresOf = ({ zone, series, dialect }: DialectCase): readonly string[] =>
  [
    ...[zone, series.intervalS, series.unit, dialect.encoding, dialect.delimiter, dialect.decimalMark],
    ...[dialect.header, dialect.unitIn, dialect.date, dialect.hours, dialect.stampColumns, dialect.order],
  ].map((value, place) => `${place} ${value}`)

/** As few of the cases, chosen greedily, as show every two features together that all of them show. */
export function everyPairOf(cases: readonly DialectCase[]): readonly DialectCase[] {
  const pairs = cases.map(each => {
    const features = featuresOf(each)
    return features.flatMap((one, at) => features.slice(at + 1).map(other => `${one}, ${other}`))
  })
  const left = new Set(pairs.flat())
  const chosen: DialectCase[] = []
  while (left.size > 0) {
    const shows = pairs.map(of => of.filter(pair => left.has(pair)).length)
    const best = shows.indexOf(Math.max(...shows))
    for (const pair of pairs[best]!) left.delete(pair)
    chosen.push(cases[best]!)
  }
  return chosen
}

/** Start of each reading and its value, without the grid they hang on. */
export const readingsOf = (series: SeriesFacts): readonly (readonly [number, number])[] =>
  series.values.flatMap((value, i) =>
    value === null
      ? []
      : [[series.startAt + (i * series.intervalS + (series.offsetsS[i] ?? 0)) * 1000, value] as const],
  )
