import { at, type Db, sql } from './client.ts'
import type { Act } from './record-write.ts'

const insert = sql(
  'audit-line',
  `insert into audit (at, actor_kind, actor_id, action, noun, request_id, xid)
   values ($1, $2, $3, $4, $5, $6, pg_current_xact_id())`,
)

/** Writes down what was done to all records at once and changed none of them. */
export const auditLine = (db: Db, act: Act, action: 'export' | 'import', noun: string) =>
  db.rows(insert, [at(act.now), act.actor.kind, act.actor.id, action, noun, act.requestId])
