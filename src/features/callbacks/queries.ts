import type { z } from 'zod'
import type { Instant } from '../../domain/facts.ts'
import { seen, seenSql } from '../../platform/auth/seen.ts'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import { listStatement } from '../../platform/db/list-statement.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { notFound } from '../../platform/http/problem.ts'
import type { channel, complaint } from './schemas.ts'

type Who = Pick<Act, 'actor' | 'now'>

export type Answer = { readonly question: string; readonly answer: string }
export type CallbackColumns = {
  systemId: string | null
  complaint: z.output<typeof complaint>
  reportedAt: Instant
  reportedBy: string
  reportedByCustomer: string | null
  channel: z.output<typeof channel>
  description: string
  answers: readonly Answer[]
  found: string
  done: string
  closedAt: Instant | null
  closedBy: string | null
}
export type CallbackRow = CallbackColumns & {
  id: string
  number: number
  propertyId: string
  zone: string
  address: string
  version: number
  createdAt: Instant
  updatedAt: Instant
  voidedAt: Instant | null
  voidReason: string | null
}

const visible = (n: number) => seenSql('c.property_id', n)

const columns = `c.id, c.number, c.property_id as "propertyId", c.system_id as "systemId", c.complaint,
  c.reported_at as "reportedAt", c.reported_by as "reportedBy", c.reported_by_customer as "reportedByCustomer", c.channel,
  c.description, c.answers, c.found, c.done, c.closed_at as "closedAt", c.closed_by as "closedBy", c.version,
  c.created_at as "createdAt", c.updated_at as "updatedAt", c.voided_at as "voidedAt", c.void_reason as "voidReason", p.zone,
  p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address`

const byId = sql(
  'callback-by-id',
  `select ${columns} from callback c join property p on p.id = c.property_id where c.id = $1 and ${visible(2)}`,
)

/** The callback, or the 404 it shares with those that are not this actor's. */
export async function readCallback(db: Db, who: Who, callbackId: string): Promise<CallbackRow> {
  const callback = await db.one<CallbackRow>(byId, [callbackId, ...seen(who.actor, who.now)])
  if (!callback) throw notFound('callback')
  return callback
}

const lock = sql(
  'callback-lock',
  `select c.id from callback c where c.id = $1 and c.voided_at is null and ${visible(2)} for update`,
)
/** Locks a callback that is to be changed and reads it; a voided one is not there to change. */
export async function lockCallback(tx: Tx, act: Act, callbackId: string): Promise<CallbackRow> {
  if (!(await tx.one(lock, [callbackId, ...seen(act.actor, act.now)]))) throw notFound('callback')
  return readCallback(tx, act, callbackId)
}

type CallbackFilter = { readonly propertyId?: string; readonly open?: boolean; readonly before?: string }
const list = listStatement<CallbackFilter>(
  'callback-list',
  { limit: 1, taken: 5 },
  {
    propertyId: n => `c.property_id = $${n}`,
    open: n => `(c.closed_at is null and c.voided_at is null) = $${n}`,
    before: n => `c.id < $${n}`,
  },
  filters => `select ${columns} from callback c join property p on p.id = c.property_id
    where ${visible(2)} ${filters} order by c.id desc`,
)
/** Newest first, keyset by id; one more than `limit` tells that more follow. */
export function listCallbacks(db: Db, who: Who, { limit, ...filter }: CallbackFilter & { readonly limit: number }) {
  const { statement, values } = list(filter)
  return db.rows<CallbackRow>(statement, [limit + 1, ...seen(who.actor, who.now), ...values])
}

const values = (callback: CallbackColumns) => [
  callback.systemId,
  callback.complaint,
  at(callback.reportedAt),
  callback.reportedBy,
  callback.reportedByCustomer,
  callback.channel,
  callback.description,
  callback.found,
  callback.done,
  callback.closedAt === null ? null : at(callback.closedAt),
  callback.closedBy,
]

const insert = sql(
  'callback-insert',
  `insert into callback (system_id, complaint, reported_at, reported_by, reported_by_customer, channel, description,
     found, done, closed_at, closed_by, id, property_id, answers, created_at, updated_at)
   values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $15)`,
)
export const insertCallback = (tx: Tx, now: number, callback: CallbackColumns & { id: string; propertyId: string }) =>
  tx.rows(insert, [...values(callback), callback.id, callback.propertyId, JSON.stringify(callback.answers), at(now)])

const update = sql(
  'callback-update',
  `update callback set system_id = $1, complaint = $2, reported_at = $3, reported_by = $4, reported_by_customer = $5,
     channel = $6, description = $7, found = $8, done = $9, closed_at = $10, closed_by = $11,
     version = version + 1, updated_at = $13 where id = $12`,
)
export const updateCallback = (tx: Tx, now: number, callbackId: string, callback: CallbackColumns) =>
  tx.rows(update, [...values(callback), callbackId, at(now)])

const markVoided = sql(
  'callback-void',
  'update callback set voided_at = $2, void_reason = $3, version = version + 1, updated_at = $2 where id = $1',
)
export const markCallbackVoided = (tx: Tx, now: number, callbackId: string, reason: string) =>
  tx.rows(markVoided, [callbackId, at(now), reason])

const systemOfHome = sql(
  'callback-system-of-home',
  'select id from system where id = $1 and property_id = $2 and voided_at is null',
)
export const systemStandsAt = (tx: Tx, systemId: string, propertyId: string) =>
  tx.one<{ id: string }>(systemOfHome, [systemId, propertyId])
