import { seen, seenSql } from '../../platform/auth/seen.ts'
import { at, type Db, epochMs, sql, type Tx } from '../../platform/db/client.ts'
import { listStatement } from '../../platform/db/list-statement.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { notFound } from '../../platform/http/problem.ts'
import type { TestColumns, TestRow } from './rows.ts'

type Who = Pick<Act, 'actor' | 'now'>

const visible = (n: number) => seenSql('t.property_id', n)

const testColumns = `t.id, t.property_id as "propertyId", t.system_id as "systemId", t.follows_test_id as "followsTestId",
  t.purpose, t.method, t.source, t.source_name as "sourceName", t.set_at as "setAt", t.set_by as "setBy",
  t.picked_up_at as "pickedUpAt", t.picked_up_by as "pickedUpBy", t.sent_to_lab_at as "sentToLabAt", t.laboratory,
  t.result_in_at as "resultInAt", t.closed_since as "closedSince", t.closed_during as "closedDuring",
  t.severe_weather as "severeWeather", t.system_running as "systemRunning", t.tampering,
  t.conditions_note as "conditionsNote", t.accepted_at as "acceptedAt", t.version, t.created_at as "createdAt",
  t.voided_at as "voidedAt", t.void_reason as "voidReason", p.zone,
  (t.set_at at time zone p.zone)::date as "setOn"`

const exposuresJson = `(select coalesce(json_agg(json_build_object('id', x.id, 'locationId', x.location_id,
    'locationName', l.name, 'deviceId', x.device_id, 'kitNumber', x.kit_number, 'role', x.role, 'pairKey', x.pair_key,
    'startAt', ${epochMs('x.start_at')}, 'stopAt', ${epochMs('x.stop_at')}, 'heightCm', x.height_cm,
    'fromOpeningCm', x.from_opening_cm, 'fromExteriorWallCm', x.from_exterior_wall_cm, 'fromHeatCm', x.from_heat_cm,
    'fromObjectCm', x.from_object_cm,
    'result', case when x.value is null then null else json_build_object('value', x.value, 'unit', x.unit,
       'qualifier', x.qualifier, 'uncertainty', x.uncertainty) end,
    'record', case when r.id is null then null else json_build_object('startAt', ${epochMs('r.start_at')},
       'intervalMinutes', r.interval_s / 60.0, 'unit', r.unit, 'readings', cardinality(r."values")) end)
    order by x.position, x.id), '[]')
  from exposure x left join test_location l on l.id = x.location_id left join series r on r.exposure_id = x.id
  where x.test_id = t.id and x.voided_at is null) as exposures`

const testById = sql(
  'test-by-id',
  `select ${testColumns}, ${exposuresJson}, (select v.body from test_evaluation v where v.test_id = t.id) as evaluation,
       (select left(v.key, 16) from test_evaluation v where v.test_id = t.id) as "evaluationTag"
     from test t join property p on p.id = t.property_id
    where t.id = $1 and ${visible(2)}`,
)

/** The test with its exposures and evaluation, or the 404 it shares with tests that are not this actor's. */
export async function readTest(db: Db, who: Who, testId: string): Promise<TestRow> {
  const test = await db.one<TestRow>(testById, [testId, ...seen(who.actor, who.now)])
  if (!test) throw notFound('test')
  return test
}

const lockById = sql(
  'test-lock',
  `select t.id from test t where t.id = $1 and t.voided_at is null and ${visible(2)} for update`,
)

/** Locks a test that is to be changed and reads it; a voided one is not there to change. */
export async function lockTest(tx: Tx, act: Act, testId: string): Promise<TestRow> {
  if (!(await tx.one(lockById, [testId, ...seen(act.actor, act.now)]))) throw notFound('test')
  return readTest(tx, act, testId)
}

type TestFilter = { readonly propertyId?: string; readonly before?: string }
const list = listStatement<TestFilter>(
  'test-list',
  { limit: 1, taken: 5 },
  { propertyId: n => `t.property_id = $${n}`, before: n => `t.id < $${n}` },
  filters => `select ${testColumns}, ${exposuresJson}, (select v.body from test_evaluation v where v.test_id = t.id) as evaluation,
       (select left(v.key, 16) from test_evaluation v where v.test_id = t.id) as "evaluationTag"
     from test t join property p on p.id = t.property_id
    where ${visible(2)} ${filters} order by t.id desc`,
)

/** Newest record first, keyset by id; voided ones are shown as voided. One more than `limit` tells that more follow. */
export function listTests(db: Db, who: Who, { limit, ...filter }: TestFilter & { readonly limit: number }) {
  const { statement, values } = list(filter)
  return db.rows<TestRow>(statement, [limit + 1, ...seen(who.actor, who.now), ...values])
}

const instantOrNull = (ms: number | null) => (ms === null ? null : at(ms))

const columnValues = (test: TestColumns) => [
  test.systemId,
  test.followsTestId,
  test.purpose,
  test.method,
  test.source,
  test.sourceName,
  instantOrNull(test.setAt),
  test.setBy,
  instantOrNull(test.pickedUpAt),
  test.pickedUpBy,
  instantOrNull(test.sentToLabAt),
  test.laboratory,
  instantOrNull(test.resultInAt),
  instantOrNull(test.closedSince),
  test.closedDuring,
  test.severeWeather,
  test.systemRunning,
  test.tampering,
  test.conditionsNote,
]

const insert = sql(
  'test-insert',
  `insert into test (id, property_id, import_batch_id, import_line, system_id, follows_test_id, purpose, method, source, source_name,
     set_at, set_by, picked_up_at, picked_up_by, sent_to_lab_at, laboratory, result_in_at, closed_since, closed_during,
     severe_weather, system_running, tampering, conditions_note, created_at, updated_at)
   select i.id, i."propertyId", i."importBatchId", i."importLine", i."systemId", i."followsTestId", i.purpose, i.method, i.source,
     i."sourceName", i."setAt", i."setBy", i."pickedUpAt", i."pickedUpBy", i."sentToLabAt", i.laboratory, i."resultInAt",
     i."closedSince", i."closedDuring", i."severeWeather", i."systemRunning", i.tampering, i."conditionsNote", $2, $2
     from jsonb_to_recordset($1::jsonb) as i(id uuid, "propertyId" uuid, "importBatchId" uuid, "importLine" int, "systemId" uuid,
       "followsTestId" uuid, purpose text, method text, source text, "sourceName" text, "setAt" timestamptz, "setBy" text,
       "pickedUpAt" timestamptz, "pickedUpBy" text, "sentToLabAt" timestamptz, laboratory text, "resultInAt" timestamptz,
       "closedSince" timestamptz, "closedDuring" text, "severeWeather" text, "systemRunning" text, tampering text,
       "conditionsNote" text)`,
)

export type TestInsert = TestColumns & {
  id: string
  propertyId: string
  importBatchId: string | null
  importLine: number | null
}
export const insertTests = (tx: Tx, now: number, tests: readonly TestInsert[]) =>
  tx.rows(insert, [
    JSON.stringify(
      tests.map(test => ({
        ...test,
        setAt: instantOrNull(test.setAt),
        pickedUpAt: instantOrNull(test.pickedUpAt),
        sentToLabAt: instantOrNull(test.sentToLabAt),
        resultInAt: instantOrNull(test.resultInAt),
        closedSince: instantOrNull(test.closedSince),
      })),
    ),
    at(now),
  ])

const update = sql(
  'test-update',
  `update test set system_id=$1, follows_test_id=$2, purpose=$3, method=$4, source=$5, source_name=$6, set_at=$7,
     set_by=$8, picked_up_at=$9, picked_up_by=$10, sent_to_lab_at=$11, laboratory=$12, result_in_at=$13,
     closed_since=$14, closed_during=$15, severe_weather=$16, system_running=$17, tampering=$18, conditions_note=$19,
     version = version + 1, updated_at = $21
   where id = $20`,
)

export const updateTest = (tx: Tx, now: number, testId: string, test: TestColumns) =>
  tx.rows(update, [...columnValues(test), testId, at(now)])

const lockByIds = sql(
  'test-lock-many',
  `select t.id, t.property_id as "propertyId", t.version from test t
    where t.id = any($1::uuid[]) and t.voided_at is null and ${visible(2)} order by t.id for update`,
)
export type LockedTest = { readonly id: string; readonly propertyId: string; readonly version: number }
/** Locks tests that are to be changed; none is left out, or all are not there to change. */
export async function lockTests(tx: Tx, act: Act, ids: readonly string[]): Promise<LockedTest[]> {
  const tests = await tx.rows<LockedTest>(lockByIds, [ids, ...seen(act.actor, act.now)])
  if (tests.length < ids.length) throw notFound('test')
  return tests
}

const markVoided = sql(
  'test-void',
  'update test set voided_at = $2, void_reason = $3, version = version + 1, updated_at = $2 where id = any($1::uuid[])',
)
export const markTestsVoided = (tx: Tx, now: number, ids: readonly string[], reason: string) =>
  tx.rows(markVoided, [ids, at(now), reason])

const markAccepted = sql(
  'test-accept',
  'update test set accepted_at = $2, accepted_by = $3, version = version + 1, updated_at = $2 where id = $1',
)
export const markTestAccepted = (tx: Tx, now: number, testId: string, staffId: string | null) =>
  tx.rows(markAccepted, [testId, at(now), staffId])
