import type { SeriesRow } from '../../features/tests/exposure-queries.ts'
import type { ReadTest } from '../../features/tests/reading-queries.ts'
import { endOf } from '../../features/tests/record-test.ts'
import type { ReadRecord } from '../../intake/monitor-file/read-with.ts'
import type { Reading } from '../../intake/monitor-file/reading.ts'
import { newId } from '../../platform/ids.ts'
import type { ReadingChange } from '../correction-rows.ts'
import { sameValue } from '../record-parts.ts'
import { changeOf, meanOfAll } from './reading-words.ts'
import type { Again, WhereOf } from './table-again.ts'

type Read = { readonly record: ReadRecord; readonly reading: Reading; readonly fileSha256: Buffer }

/** What the test of a monitor's record becomes when its file is read otherwise; its moments are what people said. */
export function recordAgain(
  test: ReadTest,
  records: readonly SeriesRow[],
  { record, ...kept }: Read,
  whereOf: WhereOf,
): Again {
  const { series, side } = record
  const after = { startAt: series.startAt, stopAt: endOf(series) }
  const told: ReadingChange[] = []
  const readings = test.exposures.flatMap(exposure => {
    const was = records.find(({ exposureId }) => exposure.ofFile && exposureId === exposure.id)
    if (!was || saysTheSame(was, record)) return []
    // The time a person gave the exposure stays; what was taken from the record goes with it.
    const startAt = exposure.startAt === was.startAt ? after.startAt : exposure.startAt
    const stopAt = exposure.stopAt === endOf(was) ? after.stopAt : exposure.stopAt
    const place = { ...whereOf(test, exposure), line: null, of: 'mean of all readings' }
    const change = changeOf(
      { propertyId: test.propertyId, testId: test.id, ...place },
      { result: meanOfAll({ ...was, unit: was.unit as 'pCi/L' }), startAt: was.startAt, stopAt: endOf(was) },
      { result: meanOfAll(series), ...after },
      test.zone,
    )
    told.push(change)
    const row = { id: newId(), ...series, side: side.length > 0 ? side : null, ...kept }
    return [{ exposureId: exposure.id, startAt, stopAt, result: null, series: row }]
  })
  return { tests: readings.length > 0 ? [{ test, moments: {}, readings, pointer: '' }] : [], told }
}

const saysTheSame = (was: SeriesRow, { series }: ReadRecord): boolean =>
  (['startAt', 'intervalS', 'unit', 'scale', 'values', 'offsetsS', 'deviceCorrectedFirstHours'] as const).every(part =>
    sameValue(was[part], series[part]),
  )
