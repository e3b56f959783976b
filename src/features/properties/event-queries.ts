import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import type { HomeEvent } from './rows.ts'

const columns = `h.id, h.kind, h.at, h.edtf as roughly, h.note, h.version, h.created_at as "createdAt",
  h.voided_at as "voidedAt", h.void_reason as "voidReason"`

const eventsOfHome = sql(
  'property-events',
  `select ${columns} from home_event h where h.property_id = $1 order by coalesce(h.at, h.created_at) desc, h.id`,
)
/** What was done to or happened at a home, newest first; voided ones included. */
export const readEvents = (db: Db, propertyId: string) => db.rows<HomeEvent>(eventsOfHome, [propertyId])

const eventById = sql(
  'property-event-by-id',
  `select ${columns} from home_event h where h.id = $1 and h.property_id = $2`,
)
export const readEvent = (db: Db, propertyId: string, id: string) => db.one<HomeEvent>(eventById, [id, propertyId])

const insert = sql(
  'property-insert-event',
  `insert into home_event (id, property_id, kind, at, edtf, note, created_at) values ($1,$2,$3,$4,$5,$6,$7)`,
)
export const insertHomeEvent = (
  tx: Tx,
  now: number,
  row: { id: string; propertyId: string; kind: string; at: number | null; roughly: string | null; note: string },
) =>
  tx.rows(insert, [
    row.id,
    row.propertyId,
    row.kind,
    row.at === null ? null : at(row.at),
    row.roughly,
    row.note,
    at(now),
  ])

const markVoided = sql(
  'property-void-event',
  'update home_event set voided_at = $2, void_reason = $3, version = version + 1 where id = $1',
)
export const markEventVoided = (tx: Tx, now: number, id: string, reason: string) =>
  tx.rows(markVoided, [id, at(now), reason])
