import { at, type Db, sql } from './client.ts'
import type { Act } from './record-write.ts'

/** A record that was looked at, and the home it belongs to. */
export type Looked = { readonly id: string; readonly propertyId: string | null }

type Line = { readonly act: Act; readonly noun: string; readonly id: string; readonly propertyId: string | null }
type Batch = { lines: Line[]; written: Promise<void> }

const insert = sql(
  'audit-read',
  `insert into audit (at, actor_kind, actor_id, action, noun, noun_id, property_id, request_id, xid)
   select r.at, r.kind, r.actor, 'read', r.noun, r.id, r.home, r.request, pg_current_xact_id()
     from unnest($1::timestamptz[], $2::text[], $3::uuid[], $4::text[], $5::uuid[], $6::uuid[], $7::text[])
       as r (at, kind, actor, noun, id, home, request)`,
)

const waiting = new WeakMap<Db, Batch>()
const writing = new WeakMap<Db, Promise<void>>()

/**
 * Writes down that an app looked at personal data; await it before answering. Lines of requests that come together are
 * one statement: while one is on its way the next ones gather. Looks of the company's own people are not written.
 */
export function auditRead(db: Db, act: Act, noun: string, looked: readonly Looked[]): Promise<void> {
  if (act.actor.kind !== 'app' || looked.length === 0) return Promise.resolve()
  const batch = waiting.get(db) ?? gather(db)
  for (const { id, propertyId } of looked) batch.lines.push({ act, noun, id, propertyId })
  return batch.written
}

function gather(db: Db): Batch {
  const lines: Line[] = []
  const before = writing.get(db) ?? Promise.resolve()
  const written = before
    .catch(() => {})
    .then(() => {
      waiting.delete(db)
      return write(db, lines)
    })
  const batch = { lines, written }
  waiting.set(db, batch)
  writing.set(db, written)
  return batch
}

const write = async (db: Db, lines: readonly Line[]): Promise<void> => {
  await db.rows(insert, [
    lines.map(line => at(line.act.now)),
    lines.map(line => line.act.actor.kind),
    lines.map(line => line.act.actor.id),
    lines.map(line => line.noun),
    lines.map(line => line.id),
    lines.map(line => line.propertyId),
    lines.map(line => line.act.requestId),
  ])
}
