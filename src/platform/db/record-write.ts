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

/**
 * What writes leave behind, as parts of a statement whose first five parameters are `traceOf`: who did it (no values),
 * and what it was before. The feed, the third, is `writtenFeed`.
 */
export const trace = `written as materialized (
     select * from rows from (jsonb_to_recordset($1::jsonb) as (action text, noun text, noun_id uuid, property_id uuid,
       version int, fields text[], revision_id uuid, was jsonb, reason text)) with ordinality w),
   audited as (
     insert into audit (at, actor_kind, actor_id, action, noun, noun_id, property_id, fields, request_id, xid)
     select $2, $3, $4, action, noun, noun_id, property_id, fields, $5, pg_current_xact_id() from written order by ordinality),
   revised as (
     insert into fact_revision (id, noun, noun_id, property_id, version, was, reason, actor_kind, actor_id, at)
     select revision_id, noun, noun_id, property_id, coalesce(version, 0), coalesce(was, '{}'), reason, $3, $4, $2
       from written where was is not null or reason <> '')`

/** The feed's entries of writes, in their order. */
export const writtenFeed =
  'select action as kind, noun, noun_id, property_id, version, 0 as turn, ordinality as place from written'

/** Puts such entries into the change feed, by turn and place. */
export const feed = (entries: string): string =>
  `insert into change (xid, at, kind, noun, noun_id, property_id, version)
   select pg_current_xact_id(), $2, kind, noun, noun_id, property_id, version from (${entries}) entry order by turn, place`

export const traceOf = (act: Pick<Act, 'now'> & Partial<Act>, writes: readonly Write[]): readonly unknown[] => {
  const rows = writes.map(({ action, noun, id, propertyId, version, fields, was, reason }) => ({
    ...{ action, noun, was, version },
    noun_id: id,
    property_id: propertyId,
    fields: fields ?? [],
    revision_id: newId(),
    reason: reason ?? '',
  }))
  return [JSON.stringify(rows), at(act.now), act.actor?.kind, act.actor?.id, act.requestId]
}

const feedOfWrites = feed(writtenFeed)
const record = sql('record-write', `with ${trace} ${feedOfWrites}`)

/** Leaves the trace of writes in the same transaction, in this order: audit line, change-feed entry, and the old values. */
export async function recordWrites(tx: Tx, act: Act, writes: readonly Write[]): Promise<void> {
  if (writes.length > 0) await tx.rows(record, traceOf(act, writes))
}

/** The same for one write. */
export const recordWrite = (tx: Tx, act: Act, write: Write): Promise<void> => recordWrites(tx, act, [write])
