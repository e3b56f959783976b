import { Temporal } from 'temporal-polyfill'
import { describe, expect, it } from 'vitest'
import { writeMonitorFile } from '../../seed/monitor-files.ts'
import { proposeReading } from '../../src/intake/monitor-file/propose-reading.ts'
import { readWith } from '../../src/intake/monitor-file/read-with.ts'
import type { Reading, ReadingPart } from '../../src/intake/monitor-file/reading.ts'
import { type DialectCase, dialectMatrix, everyPairOf, readingsOf } from '../support/monitor-dialects.ts'
import { long, size } from '../support/scale.ts'

const NUMERIC_DATES = ['dmy-slash', 'mdy-slash', 'dmy-dot', 'dmy-dash', 'dmy-short', 'mdy-short']

/** The wall clock times that the file shows. */
function wallTimes({ series, dialect }: DialectCase) {
  const zone = 'zone' in dialect.clock ? dialect.clock.zone : 'UTC'
  const shift = 'zone' in dialect.clock ? 0 : dialect.clock.offsetMinutes * 60_000
  return readingsOf({ ...series, values: series.values.map(() => 0) }).map(([start]) => {
    const stamp = start + (dialect.stamp === 'end' ? series.intervalS * 1000 : 0) + shift
    return Temporal.Instant.fromEpochMilliseconds(stamp).toZonedDateTimeISO(zone)
  })
}

/** What the writer left out or wrote twice over, and so nobody can know. */
function unknowable(given: DialectCase): readonly ReadingPart[] {
  const { dialect } = given
  const walls = wallTimes(given)
  const parts: ReadingPart[] = []
  const nameless = dialect.header === 'none'
  if (
    nameless &&
    dialect.unitIn !== 'cells' &&
    (dialect.side || (dialect.recordNumber && dialect.order === 'shuffled'))
  )
    parts.push('columns')
  if (dialect.unitIn === 'nowhere' || (nameless && dialect.unitIn === 'header')) parts.push('unit')
  const sameNumber = walls.every(wall => wall.day === wall.month)
  if (NUMERIC_DATES.includes(dialect.date) && walls.every(wall => wall.day <= 12) && !sameNumber)
    parts.push('dateOrder')
  const repeats = 'zone' in dialect.clock && !dialect.stated && dialect.order === 'shuffled' && walls.some(isRepeated)
  return repeats ? [...parts, 'repeatedHour'] : parts
}

const isRepeated = (wall: Temporal.ZonedDateTime): boolean =>
  wall.toPlainDateTime().toZonedDateTime(wall.timeZoneId, { disambiguation: 'earlier' }).epochMilliseconds !==
  wall.toPlainDateTime().toZonedDateTime(wall.timeZoneId, { disambiguation: 'later' }).epochMilliseconds

const told = ({ dialect, series }: DialectCase, reading: Reading): Partial<Reading> => ({
  unit: series.unit,
  dateOrder: dialect.date.startsWith('mdy') ? 'mdy' : 'dmy',
  repeatedHour: 'leave-out',
  columns: reading.columns.map(c => (c.index === valueIndex(dialect) ? { ...c, role: 'value' } : c)),
})

/** Answers what is asked, one proposal after the other, as a person would; a file with open questions is never read. */
function askedUntilSettled(bytes: Uint8Array, given: DialectCase) {
  const asked: ReadingPart[] = []
  let answers: Partial<Reading> = {}
  for (;;) {
    const proposed = proposeReading(bytes, { zone: given.zone, told: answers })
    if (!proposed.ok) throw new Error(JSON.stringify(proposed.faults))
    const { questions, reading } = proposed
    if (questions.length === 0) return { asked, reading }
    expect(readWith(bytes, reading).ok).toBe(false)
    for (const { part } of questions) {
      if (asked.includes(part)) throw new Error(`asked twice: ${part}`)
      asked.push(part)
      answers = { ...answers, [part]: told(given, reading)[part as keyof Reading] }
    }
  }
}

const valueIndex = (dialect: DialectCase['dialect']): number =>
  (dialect.recordNumber ? 1 : 0) + (dialect.stampColumns === 'two' ? 2 : 1)

// All of them in test:long; else as many as show every pair of features.
const CASES = long ? dialectMatrix(640) : everyPairOf(dialectMatrix(640))
const describeDialect = ({ dialect, series, zone }: DialectCase): string =>
  [
    zone,
    `${series.intervalS} s`,
    dialect.encoding,
    JSON.stringify(dialect.delimiter),
    dialect.decimalMark,
    dialect.date,
    dialect.hours,
    dialect.header,
    dialect.unitIn,
    dialect.order,
  ].join(' ')

describe('a monitor file in any dialect', () => {
  it.each(CASES.map((given, n) => [n, describeDialect(given), given] as const))(
    '%i reads back what was written: %s',
    (_n, _words, given) => {
      const bytes = writeMonitorFile(given.series, given.dialect)
      const expected = unknowable(given)
      const { asked, reading } = askedUntilSettled(bytes, given)
      expect([...asked].sort()).toEqual([...expected].sort())
      const read = readWith(bytes, reading)
      if (!read.ok) throw new Error(JSON.stringify(read.faults.slice(0, 3)))
      const lost = expected.includes('repeatedHour')
        ? new Set(wallTimes(given).flatMap((wall, i) => (isRepeated(wall) ? [i] : [])))
        : null
      const written = lost
        ? { ...given.series, values: given.series.values.map((v, i) => (lost.has(i) ? null : v)) }
        : given.series
      expect(readingsOf(read.series)).toEqual(readingsOf(written))
      const { intervalS, unit, scale } = given.series
      expect(read.series).toMatchObject({ intervalS, unit, scale })
    },
  )

  it('asks in some of them and not in others', () => {
    const asking = CASES.filter(given => unknowable(given).length > 0)
    expect(CASES.length).toBeGreaterThanOrEqual(size(80, 500))
    expect(asking.length).toBeGreaterThan(size(20, 100))
    for (const part of ['columns', 'unit', 'dateOrder', 'repeatedHour'] as const)
      expect(asking.filter(given => unknowable(given).includes(part)).length, part).toBeGreaterThan(size(0, 5))
  })
})
