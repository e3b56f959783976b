import { at, sql, type Tx } from '../../platform/db/client.ts'

/** Where a test belongs; a field that is left out stays, null cuts it loose. */
export type TestMove = {
  readonly id: string
  readonly propertyId?: string
  readonly systemId?: string | null
  readonly followsTestId?: string | null
}
export type MovedTest = { readonly id: string; readonly propertyId: string; readonly version: number }

const setHomes = sql(
  'test-move',
  `update test t set
     property_id = coalesce((m.move->>'propertyId')::uuid, t.property_id),
     system_id = case when m.move ? 'systemId' then (m.move->>'systemId')::uuid else t.system_id end,
     follows_test_id = case when m.move ? 'followsTestId' then (m.move->>'followsTestId')::uuid else t.follows_test_id end,
     version = t.version + 1, updated_at = $2
   from jsonb_array_elements($1::jsonb) m(move) where t.id = (m.move->>'id')::uuid
   returning t.id, t.property_id as "propertyId", t.version`,
)
export const setTestHomes = (tx: Tx, now: number, moves: readonly TestMove[]) =>
  tx.rows<MovedTest>(setHomes, [JSON.stringify(moves), at(now)])

const setRooms = sql(
  'exposure-rooms',
  `update exposure x set location_id = p."locationId"
     from jsonb_to_recordset($1::jsonb) as p(id uuid, "locationId" uuid) where x.id = p.id`,
)
export const setExposureRooms = (
  tx: Tx,
  places: readonly { readonly id: string; readonly locationId: string | null }[],
) => tx.rows(setRooms, [JSON.stringify(places)])

const restore = sql(
  'test-restore',
  `update test set voided_at = null, void_reason = null, version = version + 1, updated_at = $2
    where id = any($1::uuid[]) returning id, property_id as "propertyId", version`,
)
export const markTestsRestored = (tx: Tx, now: number, ids: readonly string[]) =>
  tx.rows<MovedTest>(restore, [ids, at(now)])
