import type { Actor } from '../auth/actor.ts'
import { newId } from '../ids.ts'
import { at, sql, type Tx } from './client.ts'

/** Who does something, when, and under which request. */
export type Act = { readonly actor: Actor; readonly now: number; readonly requestId: string }

export type Write = {
  readonly action: 'create' | 'correct' | 'void' | 'restore' | 'move' | 'delete'
  readonly noun: string
  readonly id: string
  readonly propertyId?: string | null
  readonly version?: number | null
  readonly fields?: readonly string[]
  /** The values before, kept as a revision. */
  readonly was?: unknown
  readonly reason?: string
}

// One statement for the three: who did it (no values), that it changed (for the feed), and what it was before.
const record = sql(
  'record-write',
  `with audited as (
     insert into audit (at, actor_kind, actor_id, action, noun, noun_id, property_id, fields, request_id, xid)
     values ($1, $2, $3, $4, $5, $6, $7, $8, $9, pg_current_xact_id())),
   fed as (
     insert into change (xid, at, kind, noun, noun_id, property_id, version)
     values (pg_current_xact_id(), $1, $4, $5, $6, $7, $10))
   insert into fact_revision (id, noun, noun_id, property_id, version, was, reason, actor_kind, actor_id, at)
   select $11, $5, $6, $7, coalesce($10, 0), coalesce($12::jsonb, '{}'), $13, $2, $3, $1 where $12::jsonb is not null or $13 <> ''`,
)

/** Leaves the trace of a write in the same transaction: audit line, change-feed entry, and the old values. */
export async function recordWrite(tx: Tx, act: Act, write: Write): Promise<void> {
  await tx.rows(record, [
    at(act.now),
    act.actor.kind,
    act.actor.id,
    write.action,
    write.noun,
    write.id,
    write.propertyId ?? null,
    write.fields ?? [],
    act.requestId,
    write.version ?? null,
    newId(),
    write.was === undefined ? null : JSON.stringify(write.was),
    write.reason ?? '',
  ])
}
