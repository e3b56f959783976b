import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { type Restood, restand } from '../../standing/restand.ts'
import { seenHome } from '../../standing/seen-home.ts'
import { type Contradiction, contradictionsOf, exposureContradictionsOf } from './contradictions.ts'
import { type ExposureInsert, insertExposures, type SeriesInsert, strangersTo } from './exposure-queries.ts'
import { insertTest } from './queries.ts'
import { canonicalBqM3, recordAsSeries } from './record-as-series.ts'
import type { TestColumns } from './rows.ts'
import type { NewExposure, NewTest } from './schemas.ts'

/** A test to record; an import hands over series it has read itself, by the exposure's position. */
export type TestToRecord = NewTest & {
  importBatchId?: string
  readSeries?: ReadonlyMap<number, SeriesInsert>
}

/**
 * Records a test from the first facts known of it, and gives the home's new standing.
 * A breach of the protocol is a finding of the standing; only what contradicts itself is refused (422).
 */
export async function recordTest(
  tx: Tx,
  act: Act,
  propertyId: string,
  input: TestToRecord,
): Promise<{ testId: string; restood: Restood }> {
  await seenHome(tx, act, propertyId)
  refuse([
    ...contradictionsOf(input, act.now),
    ...input.exposures.flatMap((exposure, i) => exposureContradictionsOf(exposure, act.now, `/exposures/${i}`)),
    ...(await strangers(tx, propertyId, input)),
  ])
  const testId = newId()
  await insertTest(tx, act.now, {
    ...columnsOf(input),
    id: testId,
    propertyId,
    importBatchId: input.importBatchId ?? null,
  })
  await insertExposures(
    tx,
    act.now,
    testId,
    input.exposures.map((exposure, i) => exposureRow(exposure, input, input.readSeries?.get(i))),
  )
  await recordWrite(tx, act, { action: 'create', noun: 'test', id: testId, propertyId, version: 1 })
  return { testId, restood: await restand(tx, act, propertyId) }
}

/** Throws one 422 that lists every contradiction. */
export function refuse(faults: readonly Contradiction[]): void {
  if (faults.length === 0) return
  throw problem(422, 'impossible', 'The facts contradict each other or nature; nothing was saved.', [...faults])
}

async function strangers(tx: Tx, propertyId: string, input: NewTest): Promise<Contradiction[]> {
  const present = (ids: (string | null | undefined)[]) => [...new Set(ids.filter(id => id != null))]
  const found = await strangersTo(tx, propertyId, {
    locations: present(input.exposures.map(exposure => exposure.locationId)),
    devices: present(input.exposures.map(exposure => exposure.deviceId)),
    systems: present([input.systemId]),
    tests: present([input.followsTestId]),
  })
  return found.map(({ kind, id }) => ({
    pointer: pointerTo(input, kind, id),
    code: 'unknown-reference',
    detail: `There is no ${kind} ${id} ${kind === 'device' ? '' : 'at this home'}: use one that is listed there`,
  }))
}

const pointerTo = (input: NewTest, kind: string, id: string): string => {
  if (kind === 'system') return '/systemId'
  if (kind === 'test') return '/followsTestId'
  const field = kind === 'location' ? 'locationId' : 'deviceId'
  return `/exposures/${input.exposures.findIndex(exposure => exposure[field] === id)}/${field}`
}

/** The table's columns from what was said, unknown where nothing was. */
export const columnsOf = (input: NewTest): TestColumns => ({
  systemId: input.systemId ?? null,
  followsTestId: input.followsTestId ?? null,
  purpose: input.purpose,
  method: input.method,
  source: input.source ?? 'own',
  sourceName: input.sourceName ?? '',
  setAt: input.setAt ?? null,
  setBy: input.setBy ?? '',
  pickedUpAt: input.pickedUpAt ?? null,
  pickedUpBy: input.pickedUpBy ?? '',
  sentToLabAt: input.sentToLabAt ?? null,
  laboratory: input.laboratory ?? '',
  resultInAt: input.resultInAt ?? null,
  closedSince: input.closedSince ?? null,
  closedDuring: input.closedDuring ?? 'unknown',
  severeWeather: input.severeWeather ?? 'unknown',
  systemRunning: input.systemRunning ?? 'unknown',
  tampering: input.tampering ?? 'unknown',
  conditionsNote: input.conditionsNote ?? '',
})

// An exposure starts when the test was set and stops when it was picked up, unless it says otherwise itself.
const exposureRow = (exposure: NewExposure, test: NewTest, read: SeriesInsert | undefined): ExposureInsert => {
  const series = read ?? (exposure.record ? recordAsSeries(exposure.record) : null)
  return {
    id: newId(),
    locationId: exposure.locationId ?? null,
    deviceId: exposure.deviceId ?? null,
    kitNumber: exposure.kitNumber ?? null,
    role: exposure.role,
    pairKey: exposure.pairKey ?? null,
    startAt: exposure.startAt ?? series?.startAt ?? test.setAt ?? null,
    stopAt: exposure.stopAt ?? (series ? endOf(series) : (test.pickedUpAt ?? null)),
    heightCm: exposure.heightCm ?? null,
    fromOpeningCm: exposure.fromOpeningCm ?? null,
    fromExteriorWallCm: exposure.fromExteriorWallCm ?? null,
    fromHeatCm: exposure.fromHeatCm ?? null,
    fromObjectCm: exposure.fromObjectCm ?? null,
    value: exposure.result?.value ?? null,
    unit: exposure.result?.unit ?? null,
    qualifier: exposure.result?.qualifier ?? '=',
    uncertainty: exposure.result?.uncertainty ?? null,
    canonicalBqM3: canonicalBqM3(exposure.result),
    series,
  }
}

/** The end of the last interval of a record. */
export const endOf = (series: Pick<SeriesInsert, 'startAt' | 'intervalS' | 'values'>): number =>
  series.startAt + series.intervalS * 1000 * series.values.length
