import { Temporal } from 'temporal-polyfill'
import { offsetName } from './guess-clock.ts'
import { monthNames } from './month-names.ts'
import type { ReadRecord } from './read-with.ts'
import type { Clock, How, Reading, ReadingPart } from './reading.ts'
import { columnOf } from './reading.ts'

/** A piece of the sentence; one with a `part` can be changed. */
export type Segment = { readonly text: string; readonly part: ReadingPart | null; readonly by: How['by'] | null }

const DELIMITERS: Readonly<Record<Reading['delimiter'], string>> = {
  ',': 'commas',
  ';': 'semicolons',
  '\t': 'tabs',
  '|': 'bars',
}
const ORDERS = { ymd: 'year first', dmy: 'day first', mdy: 'month first' }

const NAMED_INTERVALS: Readonly<Record<number, readonly [string, string]>> = {
  60: ['minute-by-minute', 'minute'],
  3600: ['hourly', 'hour'],
  86400: ['daily', 'day'],
}

/** `hourly` and `hour`; `10-minute` and `10 minutes`. */
export function intervalWords(seconds: number): readonly [string, string] {
  const named = NAMED_INTERVALS[seconds]
  if (named) return named
  if (seconds % 3600 === 0) return [`${seconds / 3600}-hour`, `${seconds / 3600} hours`]
  if (seconds % 60 === 0) return [`${seconds / 60}-minute`, `${seconds / 60} minutes`]
  return [`${seconds}-second`, `${seconds} seconds`]
}

/** `Chicago time with daylight saving`. */
export function clockWords(clock: Clock): string {
  if (clock.kind === 'stated') return 'clock as each stamp states it'
  if (clock.kind === 'fixed') return `clock fixed at ${offsetName(clock.offsetMinutes)}`
  const city = clock.zone.split('/').at(-1)!.replaceAll('_', ' ')
  const year = (month: number) =>
    Temporal.ZonedDateTime.from({ timeZone: clock.zone, year: 2025, month, day: 1 }).offsetNanoseconds
  return `clock in ${city} time${year(1) === year(7) ? '' : ' with daylight saving'}`
}

const zoneOf = (clock: Clock): string =>
  clock.kind === 'zone' ? clock.zone : clock.kind === 'stated' ? 'UTC' : fixedZone(clock.offsetMinutes)

function fixedZone(minutes: number): string {
  const size = Math.abs(minutes)
  const two = (n: number) => String(n).padStart(2, '0')
  return `${minutes < 0 ? '-' : '+'}${two(Math.floor(size / 60))}:${two(size % 60)}`
}

/** `3 to 7 November 2025`, the days of the record on its own clock. */
export function daysWords(from: number, to: number, clock: Clock): string {
  const day = (ms: number) => Temporal.Instant.fromEpochMilliseconds(ms).toZonedDateTimeISO(zoneOf(clock))
  const [a, b] = [day(from), day(to - 1)]
  const [end, month] = [`${b.day} ${monthNames[b.month - 1]} ${b.year}`, monthNames[a.month - 1]]
  if (a.year !== b.year) return `${a.day} ${month} ${a.year} to ${end}`
  if (a.month !== b.month) return `${a.day} ${month} to ${end}`
  return a.day === b.day ? end : `${a.day} to ${end}`
}

/** What the file was read as, in words a person can check and change. */
export function sentenceOf(
  reading: Reading,
  how: Readonly<Partial<Record<ReadingPart, How>>>,
  record: ReadRecord | null,
): readonly Segment[] {
  const said = (text: string): Segment => ({ text, part: null, by: null })
  const part = (name: ReadingPart, text: string | null): Segment => ({
    text: text ?? 'I do not know which',
    part: name,
    by: how[name]?.by ?? null,
  })
  const [each, one] = record ? intervalWords(record.series.intervalS) : ['a record of', 'interval']
  const value = columnOf(reading, 'value')
  const name = value < 0 ? null : reading.columns.find(c => c.index === value)?.name || `column ${value + 1}`
  const lastMs = record ? endOf(record) : 0
  return [
    said(`I read this as ${each} `),
    part('columns', value < 0 ? null : `radon (${name})`),
    said(' in '),
    part('unit', reading.unit === null ? 'a unit I do not know' : reading.unit === 'Bq/m3' ? 'Bq/m³' : reading.unit),
    said(', each stamp the '),
    part('stamp', reading.stamp),
    said(` of its ${one}, `),
    part('clock', reading.clock ? clockWords(reading.clock) : 'a clock I do not know'),
    ...(reading.repeatedHour
      ? [
          said(', '),
          part(
            'repeatedHour',
            reading.repeatedHour === 'leave-out' ? 'the repeated hour left out' : 'the repeated hour in order',
          ),
        ]
      : []),
    said(
      record && reading.clock
        ? `, ${daysWords(record.series.startAt, lastMs, reading.clock)}. Cells are parted by `
        : '. Cells are parted by ',
    ),
    part('delimiter', DELIMITERS[reading.delimiter]),
    said('; numbers have a decimal '),
    part(
      'decimalMark',
      reading.decimalMark === null ? 'mark I do not know' : reading.decimalMark === '.' ? 'point' : 'comma',
    ),
    said('; dates are written '),
    part('dateOrder', reading.dateOrder === null ? 'day or month first' : ORDERS[reading.dateOrder]),
    said(', times with '),
    part('hours', reading.hours === '12' ? 'am and pm' : '24 hours'),
    said('. The monitor '),
    part('deviceCorrectedFirstHours', reading.deviceCorrectedFirstHours ? 'has' : 'has not'),
    said(' corrected its first hours.'),
  ]
}

function endOf({ series }: ReadRecord): number {
  const last = series.values.length - 1
  return series.startAt + ((last + 1) * series.intervalS + (series.offsetsS[last] ?? 0)) * 1000
}
