import type { Policy } from '../../../domain/policy/policy-schema.ts'
import { at, type Db, sql, type Tx } from '../../../platform/db/client.ts'

/** A change of a rule set that is thought of; `policyId` once it was published, `voidedAt` once it was dropped. */
export type Draft = {
  readonly id: string
  readonly version: number
  readonly code: string
  readonly effectiveFrom: string
  readonly title: string
  readonly body: Policy
  readonly reason: string
  readonly by: string
  readonly updatedAt: number
  readonly policyId: string | null
  readonly publishedAt: number | null
  readonly voidedAt: number | null
}

const columns = `d.id, d.version, d.code, d.effective_from as "effectiveFrom", d.title, d.body, d.reason,
  coalesce(s.name, '') as by, d.updated_at as "updatedAt", d.policy_id as "policyId",
  d.published_at as "publishedAt", d.voided_at as "voidedAt"`
const from = 'from policy_draft d left join staff s on s.id = d.staff_id'

const newest = sql('policy-draft-list', `select ${columns} ${from} order by d.updated_at desc, d.id desc limit $1`)
/** The drafts looked at last, whatever became of them. */
export const listDrafts = (db: Db, limit: number) => db.rows<Draft>(newest, [limit])

const byId = sql('policy-draft', `select ${columns} ${from} where d.id = $1`)
export const readDraft = (db: Db, id: string) => db.one<Draft>(byId, [id])

const lock = sql('policy-draft-lock', `select ${columns} ${from} where d.id = $1 for no key update of d`)
/** The draft, held against whoever would change or publish it at the same time. */
export const lockDraft = (tx: Tx, id: string) => tx.one<Draft>(lock, [id])

type NewDraft = { readonly id: string; readonly body: Policy; readonly reason: string; readonly staffId: string | null }
const insert = sql(
  'policy-draft-insert',
  `insert into policy_draft (id, code, effective_from, title, body, reason, staff_id, created_at, updated_at)
   values ($1, $2, $3, $4, $5, $6, $7, $8, $8)`,
)
export const insertDraft = (tx: Tx, now: number, { id, body, reason, staffId }: NewDraft) =>
  tx.rows(insert, [id, body.code, body.effectiveFrom, body.title, JSON.stringify(body), reason, staffId, at(now)])

const change = sql(
  'policy-draft-change',
  `update policy_draft set effective_from = $2, title = $3, body = $4, reason = $5, updated_at = $6, version = version + 1
    where id = $1`,
)
export const changeDraft = (tx: Tx, now: number, id: string, body: Policy, reason: string) =>
  tx.rows(change, [id, body.effectiveFrom, body.title, JSON.stringify(body), reason, at(now)])

const publish = sql(
  'policy-draft-publish',
  'update policy_draft set policy_id = $2, published_at = $3, updated_at = $3, version = version + 1 where id = $1',
)
export const markPublished = (tx: Tx, now: number, id: string, policyId: string) =>
  tx.rows(publish, [id, policyId, at(now)])

const drop = sql(
  'policy-draft-void',
  'update policy_draft set voided_at = $2, void_reason = $3, updated_at = $2, version = version + 1 where id = $1',
)
export const markDropped = (tx: Tx, now: number, id: string, reason: string) => tx.rows(drop, [id, at(now), reason])
