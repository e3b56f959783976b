import { at, type Db, type Statement, sql, type Tx } from '../../platform/db/client.ts'
import type { NewComponent, NewGaugeReading, NewSuctionPoint, NewSystemEvent, WhenIn } from './schemas.ts'

const instantOrNull = (ms: number | null | undefined) => (ms == null ? null : at(ms))
const moment = (when: WhenIn | undefined) => [instantOrNull(when?.at), when?.approx ?? null]

type Added<P> = P & { readonly id: string; readonly systemId: string }

const addComponents = sql(
  'system-component-insert',
  `insert into system_component (id, system_id, kind, model, serial, lot, place, installed_at, installed_edtf, removed_at,
     removed_edtf, removal_reason, note, created_at)
   select i.id, i."systemId", i.kind, coalesce(i.model, ''), coalesce(i.serial, ''), coalesce(i.lot, ''),
     coalesce(i.place, ''), i."installedAt", i.installed->>'approx', i."removedAt", i.removed->>'approx',
     coalesce(i."removalReason", ''), coalesce(i.note, ''), $2
     from jsonb_to_recordset($1::jsonb) as i(id uuid, "systemId" uuid, kind text, model text, serial text, lot text,
       place text, installed jsonb, "installedAt" timestamptz, removed jsonb, "removedAt" timestamptz,
       "removalReason" text, note text)`,
)
export const insertComponents = (tx: Tx, now: number, parts: readonly Added<NewComponent>[]) =>
  insertAll(tx, addComponents, parts, at(now), part => ({
    installedAt: instantOrNull(part.installed?.at),
    removedAt: instantOrNull(part.removed?.at),
  }))

/** One statement for all that are to be inserted, none for none; an instant inside JSON is written out. */
async function insertAll<P extends object>(
  tx: Tx,
  statement: Statement,
  parts: readonly P[],
  now: Date,
  instants: (part: P) => object,
  ...more: unknown[]
): Promise<void> {
  if (parts.length === 0) return
  await tx.rows(statement, [JSON.stringify(parts.map(part => ({ ...part, ...instants(part) }))), now, ...more])
}

const changeComponent = sql(
  'system-component-update',
  `update system_component set kind = $2, model = $3, serial = $4, lot = $5, place = $6, installed_at = $7,
     installed_edtf = $8, removed_at = $9, removed_edtf = $10, removal_reason = $11, note = $12, version = version + 1
   where id = $1`,
)
export const updateComponent = (tx: Tx, id: string, part: NewComponent) =>
  tx.rows(changeComponent, [id, ...componentValues(part)])

const componentValues = (part: NewComponent) => [
  part.kind,
  part.model ?? '',
  part.serial ?? '',
  part.lot ?? '',
  part.place ?? '',
  ...moment(part.installed),
  ...moment(part.removed),
  part.removalReason ?? '',
  part.note ?? '',
]

const addPoints = sql(
  'suction-point-insert',
  `insert into suction_point (id, system_id, foundation_area_id, name, since, until, note, created_at)
   select i.id, i."systemId", i."foundationAreaId", i.name, i.since, i.until, coalesce(i.note, ''), $2
     from jsonb_to_recordset($1::jsonb) as i(id uuid, "systemId" uuid, "foundationAreaId" uuid, name text,
       since timestamptz, until timestamptz, note text)`,
)
export const insertSuctionPoints = (tx: Tx, now: number, points: readonly Added<NewSuctionPoint>[]) =>
  insertAll(tx, addPoints, points, at(now), point => ({
    since: instantOrNull(point.since),
    until: instantOrNull(point.until),
  }))

const addEvents = sql(
  'system-event-insert',
  `insert into system_event (id, system_id, kind, at, edtf, staff_id, note, created_at)
   select i.id, i."systemId", i.kind, i.at, i."when"->>'approx', $3, coalesce(i.note, ''), $2
     from jsonb_to_recordset($1::jsonb) as i(id uuid, "systemId" uuid, kind text, at timestamptz, "when" jsonb, note text)`,
)
export const insertSystemEvents = (
  tx: Tx,
  now: number,
  staffId: string | null,
  events: readonly Added<NewSystemEvent>[],
) => insertAll(tx, addEvents, events, at(now), event => ({ at: instantOrNull(event.when.at) }), staffId)

const addReadings = sql(
  'gauge-reading-insert',
  `insert into gauge_reading (id, system_id, role, value, unit, at, staff_id, read_by, note, created_at)
   select i.id, i."systemId", i.role, i.value, i.unit, i.at, $3, coalesce(i."readBy", ''), coalesce(i.note, ''), $2
     from jsonb_to_recordset($1::jsonb) as i(id uuid, "systemId" uuid, role text, value text, unit text,
       at timestamptz, "readBy" text, note text)`,
)
export const insertGaugeReadings = (
  tx: Tx,
  now: number,
  staffId: string | null,
  readings: readonly Added<NewGaugeReading>[],
) => insertAll(tx, addReadings, readings, at(now), reading => ({ at: at(reading.at) }), staffId)

const tables = {
  component: 'system_component',
  'suction-point': 'suction_point',
  event: 'system_event',
  'gauge-reading': 'gauge_reading',
} as const
export type PartKind = keyof typeof tables

// The table's name comes from the list above, never from a request. A suction point has no column for the reason; the
// revision keeps that of every part.
const voidStatements = Object.fromEntries(
  Object.entries(tables).map(([kind, table]) => [
    kind,
    sql(
      `system-${kind}-void`,
      `update ${table} set voided_at = $3${table === 'suction_point' ? '' : ', void_reason = $4'}
        where id = $1 and system_id = $2 and voided_at is null returning id`,
    ),
  ]),
) as Record<PartKind, ReturnType<typeof sql>>

/** Takes a part's record out; null when the system has no such part. */
export const markPartVoided = (
  tx: Tx,
  now: number,
  systemId: string,
  { kind, id, reason }: { kind: PartKind; id: string; reason: string },
) =>
  tx.one<{ id: string }>(voidStatements[kind], [id, systemId, at(now), ...(kind === 'suction-point' ? [] : [reason])])

const voidAnywhere = sql(
  'system-parts-void',
  `with c as (update system_component set voided_at = $2 where id = any($1::uuid[]) and voided_at is null returning system_id),
     e as (update system_event set voided_at = $2 where id = any($1::uuid[]) and voided_at is null returning system_id),
     g as (update gauge_reading set voided_at = $2 where id = any($1::uuid[]) and voided_at is null returning system_id)
   select system_id as id from c union select system_id from e union select system_id from g`,
)
/** Takes parts of any systems out, and gives the systems. */
export const markPartsVoided = async (tx: Tx, now: number, ids: readonly string[]): Promise<string[]> =>
  (await tx.rows<{ id: string }>(voidAnywhere, [ids, at(now)])).map(({ id }) => id)

const foreignAreas = sql(
  'system-foreign-areas',
  `select i as id from unnest($2::uuid[]) i where not exists
     (select 1 from foundation_area a where a.id = i and a.property_id = $1 and a.voided_at is null)`,
)
export const areasNotOf = (db: Db, propertyId: string, ids: readonly string[]) =>
  db.rows<{ id: string }>(foreignAreas, [propertyId, ids])
