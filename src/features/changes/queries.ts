import type { Instant } from '../../domain/facts.ts'
import type { Actor } from '../../platform/auth/actor.ts'
import { seen } from '../../platform/auth/seen.ts'
import { at, type Db, sql } from '../../platform/db/client.ts'
import { companysOwn, nounsOf } from './nouns.ts'

type AppActor = Extract<Actor, { kind: 'app' }>
export type ChangeRow = {
  xid: string
  seq: string
  at: Instant
  kind: string
  noun: string
  id: string
  propertyId: string | null
  version: number | null
}

// Only what lies below the snapshot's oldest running transaction is shown, in the order (xid, seq): a transaction that
// commits late can then put nothing behind a reader's back.
const after = sql(
  'change-after',
  `select c.xid::text, c.seq::text, c.at, c.kind, c.noun, c.noun_id as id, c.property_id as "propertyId", c.version
    from change c
    where (c.xid, c.seq) > ($1::text::xid8, $2::bigint) and c.xid < pg_snapshot_xmin(pg_current_snapshot())
      and c.noun = any($3)
      and ($4
        or c.noun = any($8)
        or c.property_id in (select property_id from visible_home($5, $6, $7))
        or c.noun = 'customer' and c.noun_id in (
          select o.customer_id from ownership o
            where o.voided_at is null and o.property_id in (select property_id from visible_home($5, $6, $7))))
    order by c.xid, c.seq limit $9`,
)
/** Changes behind (xid, seq) that the app may see, in the feed's order. */
export const changesAfter = (db: Db, app: AppActor, now: number, from: { xid: string; seq: string }, limit: number) =>
  db.rows<ChangeRow>(after, [from.xid, from.seq, nounsOf(app.scopes), ...seen(app, now), companysOwn, limit])

// The server, the database and the table together are another after every restore, which begins with an empty one.
const head = sql(
  'change-head',
  `select (select system_identifier from pg_control_system()) || '-' ||
       (select oid from pg_database where datname = current_database()) || '-' || 'change'::regclass::oid as life,
     pg_snapshot_xmin(pg_current_snapshot())::text as xmin`,
)
/** Which life of the database this is, and the transaction below which every change is known. */
export const feedHead = async (db: Db): Promise<{ life: string; xmin: string }> => (await db.one(head))!

const lag = sql(
  'change-lag',
  'select min(at) as oldest from change where xid >= pg_snapshot_xmin(pg_current_snapshot())',
)
/** Seconds by which the feed is behind: the age of the oldest committed change that a running transaction holds back. */
export async function feedLagSeconds(db: Db, now: number): Promise<number> {
  const oldest = (await db.one<{ oldest: Instant | null }>(lag))?.oldest
  return oldest == null ? 0 : Math.max(0, (now - oldest) / 1000)
}

const forget = sql('change-forget', `delete from change where at < $1`)
export const forgetChanges = (db: Db, before: Instant) => db.rows(forget, [at(before)])
