import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import type { NewComponent, NewGaugeReading, NewSuctionPoint, NewSystemEvent, WhenIn } from './schemas.ts'

const instantOrNull = (ms: number | null | undefined) => (ms == null ? null : at(ms))
const moment = (when: WhenIn | undefined) => [instantOrNull(when?.at), when?.approx ?? null]

const addComponent = sql(
  'system-component-insert',
  `insert into system_component (id, system_id, kind, model, serial, lot, place, installed_at, installed_edtf, removed_at,
     removed_edtf, removal_reason, note, created_at)
   values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14)`,
)
export const insertComponent = (tx: Tx, now: number, systemId: string, id: string, part: NewComponent) =>
  tx.rows(addComponent, [id, systemId, ...componentValues(part), at(now)])

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

const addPoint = sql(
  'suction-point-insert',
  `insert into suction_point (id, system_id, foundation_area_id, name, since, until, note, created_at)
   values ($1, $2, $3, $4, $5, $6, $7, $8)`,
)
export const insertSuctionPoint = (tx: Tx, now: number, systemId: string, id: string, point: NewSuctionPoint) =>
  tx.rows(addPoint, [
    id,
    systemId,
    point.foundationAreaId ?? null,
    point.name,
    instantOrNull(point.since),
    instantOrNull(point.until),
    point.note ?? '',
    at(now),
  ])

const addEvent = sql(
  'system-event-insert',
  `insert into system_event (id, system_id, kind, at, edtf, staff_id, note, created_at)
   values ($1, $2, $3, $4, $5, $6, $7, $8)`,
)
export const insertSystemEvent = (
  tx: Tx,
  now: number,
  systemId: string,
  id: string,
  staffId: string | null,
  event: NewSystemEvent,
) => tx.rows(addEvent, [id, systemId, event.kind, ...moment(event.when), staffId, event.note ?? '', at(now)])

const addReading = sql(
  'gauge-reading-insert',
  `insert into gauge_reading (id, system_id, role, value, unit, at, staff_id, read_by, note, created_at)
   values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
)
export const insertGaugeReading = (
  tx: Tx,
  now: number,
  systemId: string,
  id: string,
  staffId: string | null,
  reading: NewGaugeReading,
) =>
  tx.rows(addReading, [
    id,
    systemId,
    reading.role,
    reading.value,
    reading.unit,
    at(reading.at),
    staffId,
    reading.readBy ?? '',
    reading.note ?? '',
    at(now),
  ])

const tables = {
  component: 'system_component',
  'suction-point': 'suction_point',
  event: 'system_event',
  'gauge-reading': 'gauge_reading',
} as const
export type PartKind = keyof typeof tables

// The table's name comes from the list above, never from a request. A suction point has no reason column of its own;
// the revision keeps the reason of every part.
const voidStatements = Object.fromEntries(
  Object.entries(tables).map(([kind, table]) => [
    kind,
    sql(
      `system-${kind}-void`,
      `update ${table} set voided_at = $3 where id = $1 and system_id = $2 and voided_at is null returning id`,
    ),
  ]),
) as Record<PartKind, ReturnType<typeof sql>>

/** Takes a part's record out; null when the system has no such part. */
export const markPartVoided = (tx: Tx, now: number, systemId: string, kind: PartKind, id: string) =>
  tx.one<{ id: string }>(voidStatements[kind], [id, systemId, at(now)])

const foreignAreas = sql(
  'system-foreign-areas',
  `select i as id from unnest($2::uuid[]) i where not exists
     (select 1 from foundation_area a where a.id = i and a.property_id = $1 and a.voided_at is null)`,
)
export const areasNotOf = (db: Db, propertyId: string, ids: readonly string[]) =>
  db.rows<{ id: string }>(foreignAreas, [propertyId, ids])
