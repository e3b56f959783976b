import type { SeriesFacts } from '../../src/domain/facts.ts'
import { hourlyRadon } from '../demo/numbers.ts'
import { type Dialect, PLAIN_DIALECT } from '../monitor-files.ts'

type Sample = { readonly name: string; readonly series: SeriesFacts; readonly dialect: Dialect }

/** A record of so many hours around a mean, in tenths. */
function record(startAt: string, hours: number, mean: number, over: Partial<SeriesFacts> = {}): SeriesFacts {
  const values = hourlyRadon({ mean, hours, seed: hours * 7 + mean, startHour: 9 })
  return {
    startAt: Date.parse(startAt),
    intervalS: 3600,
    unit: 'pCi/L',
    scale: 1,
    values: values.map(value => Math.round(Number(value) * 10)),
    offsetsS: [],
    deviceCorrectedFirstHours: false,
    ...over,
  }
}

/** Files to import by hand, as differently as monitors write them. The committed files are these, byte for byte. */
export const samples: readonly Sample[] = [
  {
    name: 'hourly-above.csv',
    series: record('2026-01-12T15:00:00Z', 52, 6.8),
    dialect: { ...PLAIN_DIALECT, date: 'mdy-slash', hours: '12', clock: { zone: 'America/Chicago' }, side: true },
  },
  {
    name: 'semicolons-and-becquerels.csv',
    series: record('2026-01-19T14:00:00Z', 72, 118, { unit: 'Bq/m3' }),
    dialect: {
      ...PLAIN_DIALECT,
      encoding: 'utf-8-bom',
      lineEnd: '\r\n',
      delimiter: ';',
      decimalMark: ',',
      preamble: ['Hourly monitor', 'Serial no. HM-2291'],
      header: 'names-and-units',
      unitSpelling: 'Bq/m³',
      date: 'dmy-dot',
      stampColumns: 'two',
      clock: { zone: 'America/Toronto' },
    },
  },
  {
    name: 'over-the-clock-change.txt',
    series: record('2025-11-01T15:00:00Z', 50, 2.4),
    dialect: {
      ...PLAIN_DIALECT,
      delimiter: '\t',
      date: 'month-name-day',
      stamp: 'start',
      seconds: true,
      clock: { zone: 'America/Chicago' },
    },
  },
  {
    name: 'asks-two-questions.csv',
    series: record('2026-03-05T15:00:00Z', 60, 3.1),
    dialect: { ...PLAIN_DIALECT, date: 'dmy-slash', unitIn: 'nowhere', clock: { zone: 'America/Chicago' } },
  },
]
