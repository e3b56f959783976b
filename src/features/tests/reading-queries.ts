import type { Qualifier, RadonUnit } from '../../domain/facts.ts'
import { at, type Db, epochMs, sql, type Tx } from '../../platform/db/client.ts'

/** A test as far as a reading of a file can change it. */
export type ReadTest = {
  readonly id: string
  readonly propertyId: string
  readonly zone: string
  readonly version: number
  /** The line of the file it came from; null where that was not kept. */
  readonly importLine: number | null
  readonly setAt: number | null
  readonly pickedUpAt: number | null
  readonly sentToLabAt: number | null
  readonly resultInAt: number | null
  readonly exposures: readonly ReadExposure[]
}
export type ReadExposure = {
  readonly id: string
  readonly room: string | null
  readonly startAt: number | null
  readonly stopAt: number | null
  readonly value: string | null
  readonly unit: RadonUnit | null
  readonly qualifier: Qualifier
  readonly uncertainty: string | null
  /** Whether its record was read from the file asked for. */
  readonly ofFile: boolean
}

const ofImport = sql(
  'tests-of-reading',
  `select t.id, t.property_id as "propertyId", p.zone, t.version, t.import_line as "importLine", t.set_at as "setAt",
     t.picked_up_at as "pickedUpAt", t.sent_to_lab_at as "sentToLabAt", t.result_in_at as "resultInAt",
     (select coalesce(json_agg(json_build_object('id', x.id, 'room', l.name, 'startAt', ${epochMs('x.start_at')},
          'stopAt', ${epochMs('x.stop_at')}, 'value', x.value, 'unit', x.unit, 'qualifier', x.qualifier,
          'uncertainty', x.uncertainty, 'ofFile', coalesce(r.file_sha256 = $3, false)) order by x.position, x.id), '[]')
        from exposure x left join test_location l on l.id = x.location_id left join series r on r.exposure_id = x.id
       where x.test_id = t.id and x.voided_at is null) as exposures
     from test t join property p on p.id = t.property_id
    where (t.import_batch_id = $1 or t.id = $2) and t.voided_at is null
    order by t.import_line, t.id for update of t`,
)
type Imported = { readonly id: string; readonly testId: string | null; readonly fileSha256: Buffer }
/** Holds the tests that stand and that an import made or gave a record to, and reads them, whoever may see their homes. */
export const testsOfReading = (tx: Tx, { id, testId, fileSha256 }: Imported) =>
  tx.rows<ReadTest>(ofImport, [id, testId, fileSha256])

const setVoided = sql(
  'exposure-void',
  'update exposure set voided_at = $2 where id = any($1::uuid[]) returning test_id as "testId"',
)
/** Takes exposures out of their tests, or with null puts them back; gives the tests. */
export const markExposuresVoided = (tx: Tx, ids: readonly string[], voidedAt: number | null) =>
  tx.rows<{ testId: string }>(setVoided, [ids, voidedAt === null ? null : at(voidedAt)])

const insertInPlace = sql(
  'exposure-in-place',
  `insert into exposure (id, test_id, location_id, device_id, kit_number, role, pair_key, start_at, stop_at, height_cm,
     from_opening_cm, from_exterior_wall_cm, from_heat_cm, from_object_cm, value, unit, qualifier, uncertainty,
     canonical_bq_m3, position, created_at)
   select i.id, x.test_id, x.location_id, x.device_id, x.kit_number, x.role, x.pair_key, i."startAt", i."stopAt", x.height_cm,
     x.from_opening_cm, x.from_exterior_wall_cm, x.from_heat_cm, x.from_object_cm, i.value, i.unit, i.qualifier,
     i.uncertainty, i."canonicalBqM3", x.position, $2
     from jsonb_to_recordset($1::jsonb) as i(id uuid, "inPlaceOf" uuid, "startAt" timestamptz, "stopAt" timestamptz,
       value text, unit text, qualifier text, uncertainty text, "canonicalBqM3" float8)
     join exposure x on x.id = i."inPlaceOf"
   returning id, device_id as "deviceId", start_at as "startAt", stop_at as "stopAt"`,
)
export type ExposureInPlace = {
  readonly id: string
  readonly inPlaceOf: string
  readonly startAt: number | null
  readonly stopAt: number | null
  readonly value: string | null
  readonly unit: RadonUnit | null
  readonly qualifier: Qualifier
  readonly uncertainty: string | null
  readonly canonicalBqM3: number | null
}
type Placed = {
  readonly id: string
  readonly deviceId: string | null
  readonly startAt: number | null
  readonly stopAt: number | null
}
/** Exposures with the room, device and placement of those whose place they take. */
export const insertExposuresInPlace = (tx: Tx, now: number, exposures: readonly ExposureInPlace[]) =>
  tx.rows<Placed>(insertInPlace, [
    JSON.stringify(exposures.map(one => ({ ...one, startAt: isoOrNull(one.startAt), stopAt: isoOrNull(one.stopAt) }))),
    at(now),
  ])

const isoOrNull = (ms: number | null) => (ms === null ? null : at(ms).toISOString())

const setAgainst = sql(
  'exposure-set-against',
  `update exposure x set against_records = i.against from jsonb_to_recordset($1::jsonb) as i(id uuid, against text)
    where x.id = i.id`,
)
export const setAgainstRecords = (tx: Tx, against: ReadonlyMap<string, string>) =>
  tx.rows(setAgainst, [JSON.stringify([...against].map(([id, said]) => ({ id, against: said })))])

const setMoments = sql(
  'test-moments',
  `update test t set set_at = case when m.said ? 'setAt' then (m.said->>'setAt')::timestamptz else t.set_at end,
     picked_up_at = case when m.said ? 'pickedUpAt' then (m.said->>'pickedUpAt')::timestamptz else t.picked_up_at end,
     result_in_at = case when m.said ? 'resultInAt' then (m.said->>'resultInAt')::timestamptz else t.result_in_at end,
     accepted_at = case when m.said ? 'acceptedAt' then (m.said->>'acceptedAt')::timestamptz else t.accepted_at end,
     accepted_by = case when m.said ? 'acceptedBy' then (m.said->>'acceptedBy')::uuid else t.accepted_by end,
     version = t.version + 1, updated_at = $2
   from jsonb_array_elements($1::jsonb) m(said) where t.id = (m.said->>'id')::uuid
   returning t.id, t.property_id as "propertyId", t.version`,
)
/** The moments of a test that follow from a reading, and its acceptance; what is not named stays. */
export type TestMoments = {
  readonly id: string
  readonly setAt?: number | null
  readonly pickedUpAt?: number | null
  readonly resultInAt?: number | null
  readonly acceptedAt?: number | null
  readonly acceptedBy?: string | null
}
export const setTestMoments = (tx: Tx, now: number, moments: readonly TestMoments[]) =>
  tx.rows<{ id: string; propertyId: string; version: number }>(setMoments, [
    JSON.stringify(
      moments.map(({ id, acceptedBy, ...instants }) => ({
        ...{ id, acceptedBy },
        ...Object.fromEntries(
          Object.entries(instants).map(([name, ms]) => [name, ms === undefined ? undefined : isoOrNull(ms)]),
        ),
      })),
    ),
    at(now),
  ])

const replaced = sql(
  'exposures-replaced',
  `select x.id, l.name as room, x.start_at as "startAt", x.stop_at as "stopAt", x.value, x.unit, x.qualifier, x.uncertainty,
     cardinality(r."values") as readings, r.unit as "recordUnit", x.voided_at as "voidedAt",
     (select p.correction_id from correction_part p where p.record_id = x.id and p.noun = 'exposure'
        and p.field in ('made', 'voidedAt') order by p.correction_id desc limit 1) as "correctionId"
     from exposure x left join test_location l on l.id = x.location_id left join series r on r.exposure_id = x.id
    where x.test_id = $1 and x.voided_at is not null order by x.voided_at desc, x.position, x.id`,
)
export type ReplacedExposure = Omit<ReadExposure, 'ofFile'> & {
  readonly readings: number | null
  readonly recordUnit: RadonUnit | null
  readonly voidedAt: number
  readonly correctionId: string | null
}
/** What a test that the caller may read has held and holds no more, the last first. */
export const replacedOf = (db: Db, testId: string) => db.rows<ReplacedExposure>(replaced, [testId])
