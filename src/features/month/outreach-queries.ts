import type { Instant, LocalDay } from '../../domain/facts.ts'
import { seen, seenSql } from '../../platform/auth/seen.ts'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import { listStatement } from '../../platform/db/list-statement.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { notFound } from '../../platform/http/problem.ts'

type Who = Pick<Act, 'actor' | 'now'>

export type Outreach = {
  readonly id: string
  readonly propertyId: string
  readonly kind: 'called' | 'put-off'
  readonly outcome: string
  readonly backOn: LocalDay
  readonly note: string
  readonly by: string
  readonly at: Instant
  readonly version: number
  readonly voidedAt: Instant | null
  readonly voidReason: string | null
}

const columns = `r.id, r.property_id as "propertyId", r.kind, r.outcome, r.back_on as "backOn", r.note, r.at, r.version,
  r.voided_at as "voidedAt", r.void_reason as "voidReason",
  coalesce((select s.name from staff s where s.id = r.staff_id), '') as by`

const byId = sql(
  'outreach-by-id',
  `select ${columns} from outreach r where r.id = $1 and ${seenSql('r.property_id', 2)}`,
)
/** One try, or the 404 it shares with those that are not this actor's. */
export async function readOutreach(db: Db, who: Who, id: string): Promise<Outreach> {
  const row = await db.one<Outreach>(byId, [id, ...seen(who.actor, who.now)])
  if (!row) throw notFound('outreach')
  return row
}

const lock = sql(
  'outreach-lock',
  `select r.id from outreach r where r.id = $1 and r.voided_at is null and ${seenSql('r.property_id', 2)} for update`,
)
export async function lockOutreach(tx: Tx, act: Act, id: string): Promise<Outreach> {
  if (!(await tx.one(lock, [id, ...seen(act.actor, act.now)]))) throw notFound('outreach')
  return readOutreach(tx, act, id)
}

type Filter = { readonly propertyId?: string; readonly before?: string }
const list = listStatement<Filter>(
  'outreach-list',
  { limit: 1, taken: 5 },
  { propertyId: n => `r.property_id = $${n}`, before: n => `r.id < $${n}` },
  filters => `select ${columns} from outreach r where ${seenSql('r.property_id', 2)} ${filters} order by r.id desc`,
)
/** Newest first, keyset by id; one more than `limit` tells that more follow. */
export function listOutreach(db: Db, who: Who, { limit, ...filter }: Filter & { readonly limit: number }) {
  const { statement, values } = list(filter)
  return db.rows<Outreach>(statement, [limit + 1, ...seen(who.actor, who.now), ...values])
}

const insert = sql(
  'outreach-insert',
  `insert into outreach (id, property_id, kind, outcome, back_on, causes, note, staff_id, at)
   values ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
)
export type OutreachInsert = Pick<Outreach, 'id' | 'propertyId' | 'kind' | 'outcome' | 'backOn' | 'note'> & {
  readonly causes: readonly string[]
  readonly staffId: string | null
}
export const insertOutreach = (tx: Tx, now: number, row: OutreachInsert) =>
  tx.rows(insert, [
    row.id,
    row.propertyId,
    row.kind,
    row.outcome,
    row.backOn,
    row.causes,
    row.note,
    row.staffId,
    at(now),
  ])

const markVoided = sql(
  'outreach-void',
  'update outreach set voided_at = $2, void_reason = $3, version = version + 1 where id = $1',
)
export const markOutreachVoided = (tx: Tx, now: number, id: string, reason: string) =>
  tx.rows(markVoided, [id, at(now), reason])
