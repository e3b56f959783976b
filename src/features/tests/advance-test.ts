import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import type { Restood } from '../../standing/restand.ts'
import { type Contradiction, contradictionsOf, exposureContradictionsOf } from './contradictions.ts'
import { saveChange, testToChange } from './correct-test.ts'
import { putResult, putSeries, type SeriesInsert, seriesOf, stopExposures } from './exposure-queries.ts'
import { canonicalBqM3, recordAsSeries } from './record-as-series.ts'
import { endOf, refuse } from './record-test.ts'
import type { TestRow } from './rows.ts'
import type { ExposureResult, PickUp, ResultsIn, ToLaboratory } from './schemas.ts'

/** The device was taken up again: when, by whom, and what the building had been like. */
export async function pickUpTest(tx: Tx, act: Act, testId: string, version: number, input: PickUp): Promise<Restood> {
  const was = await testToChange(tx, act, testId, version)
  const { exposures, ...said } = input
  const now = { ...was, ...defined(said) }
  const unknown = exposures.findIndex(stop => !was.exposures.some(exposure => exposure.id === stop.id))
  refuse([...contradictionsOf(now, act.now), ...(unknown >= 0 ? [notOfThisTest(`/exposures/${unknown}/id`)] : [])])
  await stopExposures(tx, testId, input.pickedUpAt, exposures)
  return saveChange(tx, act, was, now, { fields: Object.keys(defined(said)) })
}

/** The device went to the laboratory. */
export async function sendToLaboratory(
  tx: Tx,
  act: Act,
  testId: string,
  version: number,
  input: ToLaboratory,
): Promise<Restood> {
  const was = await testToChange(tx, act, testId, version)
  const now = { ...was, ...defined(input) }
  refuse(contradictionsOf(now, act.now))
  return saveChange(tx, act, was, now, { fields: Object.keys(defined(input)) })
}

/** Results arrived, typed or as records. One that replaces another needs a reason, and the old one is kept. */
export async function takeResults(
  tx: Tx,
  act: Act,
  testId: string,
  version: number,
  input: ResultsIn,
  readSeries: ReadonlyMap<string, SeriesInsert> = new Map(),
): Promise<Restood> {
  const was = await testToChange(tx, act, testId, version)
  const now = { ...was, resultInAt: input.resultInAt }
  refuse([
    ...contradictionsOf(now, act.now),
    ...input.results.flatMap((result, i) => resultFaults(was, result, act.now, `/results/${i}`, readSeries)),
    ...reasonMissing(was, input),
  ])
  await keepOldRecords(tx, act, was, input)
  for (const result of input.results) await putOne(tx, act, testId, result, readSeries.get(result.exposureId))
  return saveChange(tx, act, was, now, { fields: ['resultInAt', 'results'], reason: input.reason ?? '' })
}

const notOfThisTest = (pointer: string): Contradiction => ({
  pointer,
  code: 'unknown-reference',
  detail: 'is no exposure of this test: use an id that the test lists',
})

function resultFaults(
  test: TestRow,
  result: ExposureResult,
  now: number,
  at: string,
  read: ReadonlyMap<string, SeriesInsert>,
): Contradiction[] {
  const exposure = test.exposures.find(one => one.id === result.exposureId)
  if (!exposure) return [notOfThisTest(`${at}/exposureId`)]
  if (!result.result && !result.record && !read.has(exposure.id))
    return [{ pointer: `${at}/result`, code: 'no-result', detail: 'holds neither a result nor a record: send one' }]
  const { startAt, stopAt } = { startAt: result.startAt ?? exposure.startAt, stopAt: result.stopAt ?? exposure.stopAt }
  return exposureContradictionsOf({ ...result, startAt, stopAt }, now, at)
}

function reasonMissing(test: TestRow, input: ResultsIn): Contradiction[] {
  const replaces = input.results.some(result =>
    test.exposures.some(exposure => exposure.id === result.exposureId && (exposure.result || exposure.record)),
  )
  if (!replaces || input.reason) return []
  return [{ pointer: '/reason', code: 'reason-needed', detail: 'A result is there already: say why it is replaced' }]
}

// A replaced record's readings go into the revision: nothing measured is overwritten silently.
async function keepOldRecords(tx: Tx, act: Act, test: TestRow, input: ResultsIn) {
  const replaced = new Set(input.results.map(result => result.exposureId))
  for (const { exposureId, ...series } of await seriesOf(tx, test.id))
    if (replaced.has(exposureId))
      await recordWrite(tx, act, {
        action: 'correct',
        noun: 'series',
        id: exposureId,
        propertyId: test.propertyId,
        version: test.version + 1,
        was: series,
        reason: input.reason ?? '',
      })
}

async function putOne(tx: Tx, act: Act, testId: string, input: ExposureResult, read: SeriesInsert | undefined) {
  const series = read ?? (input.record ? recordAsSeries(input.record) : null)
  await putResult(tx, testId, input.exposureId, {
    startAt: input.startAt ?? series?.startAt ?? null,
    stopAt: input.stopAt ?? (series ? endOf(series) : null),
    value: input.result?.value ?? null,
    unit: input.result?.unit ?? null,
    qualifier: input.result?.qualifier ?? '=',
    uncertainty: input.result?.uncertainty ?? null,
    canonicalBqM3: canonicalBqM3(input.result),
  })
  if (series) await putSeries(tx, act.now, input.exposureId, series)
}

const defined = <T extends object>(input: T) =>
  Object.fromEntries(Object.entries(input).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]: Exclude<T[K], undefined>
  }
