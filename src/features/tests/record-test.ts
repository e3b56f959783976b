import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrites, type Write } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { type Restood, restand } from '../../standing/restand.ts'
import { seeHomes } from '../../standing/seen-home.ts'
import { type Contradiction, contradictionsOf, exposureContradictionsOf } from './contradictions.ts'
import {
  type ExposureInsert,
  insertExposures,
  type Reference,
  recordsAgainst,
  type SeriesInsert,
  strangersAmong,
} from './exposure-queries.ts'
import { monitorsInTheWay, type TestWithDevices } from './monitors-in-the-way.ts'
import { insertTests } from './queries.ts'
import { canonicalBqM3, recordAsSeries } from './record-as-series.ts'
import type { TestColumns } from './rows.ts'
import type { NewExposure, NewTest } from './schemas.ts'

/** A test to record; an import hands over series it has read itself, by the exposure's position. */
export type TestToRecord = NewTest & {
  importBatchId?: string
  /** The line of the import's table it was read from. */
  importLine?: number
  readSeries?: ReadonlyMap<number, SeriesInsert>
}

/** A test of a home; `pointer` leads to it in what was sent. */
export type TestOfHome = { readonly propertyId: string; readonly test: TestToRecord; readonly pointer: string }

/**
 * Records a test from the first facts known of it, and gives the home's new standing.
 * A breach of the protocol is a finding of the standing; only what contradicts itself is refused (422).
 */
export async function recordTest(
  tx: Tx,
  act: Act,
  propertyId: string,
  test: TestToRecord,
): Promise<{ testId: string; restood: Restood }> {
  const writes = await insertTestsOf(tx, act, [{ propertyId, test, pointer: '' }])
  return { testId: writes[0]!.id, restood: await restand(tx, act, propertyId, writes) }
}

/** Writes tests of one home or many with the same few statements, and gives their ids; the caller stands the homes anew. */
export async function writeTests(tx: Tx, act: Act, tests: readonly TestOfHome[]): Promise<readonly string[]> {
  const writes = await insertTestsOf(tx, act, tests)
  await recordWrites(tx, act, writes)
  return writes.map(({ id }) => id)
}

async function insertTestsOf(tx: Tx, act: Act, tests: readonly TestOfHome[]): Promise<readonly Write[]> {
  await seeHomes(
    tx,
    act,
    tests.map(test => test.propertyId),
  )
  refuse([
    ...tests.flatMap(({ test, pointer }) => contradictionsIn(test, act.now, pointer)),
    ...(await strangeReferences(tx, tests.flatMap(referencesOf))),
    ...(await monitorsInTheWay(tx, act, tests.map(withDevices))),
  ])
  const made = tests.map(({ propertyId, test }) => ({ id: newId(), propertyId, test }))
  await insertTests(
    tx,
    act.now,
    made.map(({ id, propertyId, test }) => ({
      ...columnsOf(test),
      ...{ id, propertyId },
      importBatchId: test.importBatchId ?? null,
      importLine: test.importLine ?? null,
    })),
  )
  const exposures = made.flatMap(({ id, test }) =>
    test.exposures.map((exposure, i) => exposureRow(id, i, exposure, test)),
  )
  const against = await recordsAgainst(tx, act.now, exposures)
  await insertExposures(
    tx,
    act.now,
    exposures.map(exposure => ({ ...exposure, againstRecords: against.get(exposure.id) ?? '' })),
  )
  return made.map(({ id, propertyId }) => ({ action: 'create', noun: 'test', id, propertyId, version: 1 }))
}

const withDevices = ({ propertyId, test, pointer }: TestOfHome): TestWithDevices => ({
  ...{ propertyId, pointer, exposures: test.exposures },
  setAt: test.setAt ?? null,
  over:
    test.confirmDevices === true ||
    test.pickedUpAt != null ||
    test.resultInAt != null ||
    test.exposures.some(({ stopAt, result, record }, i) => stopAt || result || record || test.readSeries?.has(i)),
})

const contradictionsIn = (test: TestToRecord, now: number, pointer: string): Contradiction[] => [
  ...contradictionsOf(test, now).map(fault => ({ ...fault, pointer: pointer + fault.pointer })),
  ...test.exposures.flatMap((exposure, i) => exposureContradictionsOf(exposure, now, `${pointer}/exposures/${i}`)),
]

/** Throws one 422 that lists every contradiction. */
export function refuse(faults: readonly Contradiction[]): void {
  if (faults.length === 0) return
  throw problem(422, 'impossible', 'The facts contradict each other or nature; nothing was saved.', [...faults])
}

type PointedReference = Reference & { readonly pointer: string }

function referencesOf({ propertyId, test, pointer }: TestOfHome): PointedReference[] {
  const ref = (kind: Reference['kind'], id: string | null | undefined, field: string): PointedReference[] =>
    id == null ? [] : [{ propertyId, kind, id, pointer: `${pointer}/${field}` }]
  return [
    ...test.exposures.flatMap(({ locationId }, i) => ref('location', locationId, `exposures/${i}/locationId`)),
    ...ref('system', test.systemId, 'systemId'),
    ...ref('test', test.followsTestId, 'followsTestId'),
    ...test.exposures.flatMap(({ deviceId }, i) => ref('device', deviceId, `exposures/${i}/deviceId`)),
  ]
}

/** A fault for every reference that points at nothing of its home. */
export async function strangeReferences(tx: Tx, refs: readonly PointedReference[]): Promise<Contradiction[]> {
  const strange = new Set((await strangersAmong(tx, refs)).map(keyOf))
  return refs
    .filter(ref => strange.has(keyOf(ref)))
    .map(({ pointer, kind, id }) => ({
      pointer,
      code: 'unknown-reference',
      detail: `There is no ${kind} ${id} ${kind === 'device' ? '' : 'at this home'}: use one that is listed there`,
    }))
}
const keyOf = ({ propertyId, kind, id }: Reference): string => `${propertyId} ${kind} ${id}`

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
const exposureRow = (testId: string, position: number, exposure: NewExposure, test: TestToRecord): ExposureInsert => {
  const series = test.readSeries?.get(position) ?? (exposure.record ? recordAsSeries(exposure.record) : null)
  return {
    id: newId(),
    testId,
    position,
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
    againstRecords: '',
    series,
  }
}

/** The end of the last interval of a record. */
export const endOf = (series: Pick<SeriesInsert, 'startAt' | 'intervalS' | 'values'>): number =>
  series.startAt + series.intervalS * 1000 * series.values.length
