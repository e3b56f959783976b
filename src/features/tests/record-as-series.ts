import { newId } from '../../platform/ids.ts'
import type { SeriesInsert } from './exposure-queries.ts'
import type { NewExposure } from './schemas.ts'

const decimalsOf = (value: string) => value.split('.')[1]?.length ?? 0

/** `3.9`, `4` and `4.15` with scale 2 become 390, 400 and 415: whole numbers, nothing lost. */
export const scaled = (value: string, scale: number): number => {
  const [whole, fraction = ''] = value.split('.')
  return Number(whole + fraction.padEnd(scale, '0'))
}

/** A record as it came over the API, as the series that is stored. */
export function recordAsSeries(record: NonNullable<NewExposure['record']>): SeriesInsert {
  const scale = Math.max(...record.values.map(value => (value === null ? 0 : decimalsOf(value))))
  return {
    id: newId(),
    startAt: record.startAt,
    intervalS: record.intervalMinutes * 60,
    unit: record.unit,
    scale,
    values: record.values.map(value => (value === null ? null : scaled(value, scale))),
    offsetsS: [],
    deviceCorrectedFirstHours: record.deviceCorrectedFirstHours,
    side: null,
    reading: null,
    fileSha256: null,
  }
}

/** Bq/m³ as a double, for search and charts only: no rule ever sees it. */
export const canonicalBqM3 = (result: { value: string; unit: string } | null | undefined): number | null =>
  result ? Number(result.value) * (result.unit === 'pCi/L' ? 37 : 1) : null
