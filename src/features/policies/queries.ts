import type { Policy } from '../../domain/policy/policy-schema.ts'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'

export type PublishedPolicy = {
  readonly id: string
  readonly code: string
  readonly parentCode: string | null
  readonly effectiveFrom: string
  readonly publishedAt: number
  readonly title: string
  /** The last day before the next version of the same rule set; null while none is published. */
  readonly effectiveUntil: string | null
  readonly body: Policy
}

const columns = `p.id, p.code, p.parent_code as "parentCode", p.effective_from as "effectiveFrom",
  p.published_at as "publishedAt", p.title, p.body,
  (select min(n.effective_from) - 1 from policy n where n.code = p.code and n.effective_from > p.effective_from) as "effectiveUntil"`

const listAfter = sql(
  'policy-list',
  `select ${columns} from policy p where (p.code, p.effective_from) > ($1, $2::date) order by p.code, p.effective_from limit $3`,
)
/** Versions by code and day, from behind `after` on; one more than `limit` tells that more follow. */
export const listPolicies = (db: Db, after: readonly [code: string, from: string] | null, limit: number) =>
  db.rows<PublishedPolicy>(listAfter, [...(after ?? ['', '0001-01-01']), limit + 1])

const byId = sql('policy-by-id', `select ${columns} from policy p where p.id = $1`)
export const readPolicy = (db: Db, id: string) => db.one<PublishedPolicy>(byId, [id])

const bodies = sql('policy-bodies', 'select body from policy order by code, effective_from')
export const publishedBodies = async (db: Db): Promise<readonly unknown[]> =>
  (await db.rows<{ body: unknown }>(bodies)).map(({ body }) => body)

// Two versions published at the same moment could each fit what is there and not each other; readers go on.
const lock = sql('policy-lock', 'lock table policy in share row exclusive mode')
export const lockPolicies = (tx: Tx) => tx.rows(lock)

const insert = sql(
  'policy-insert',
  `insert into policy (id, code, parent_code, effective_from, published_at, title, body) values ($1,$2,$3,$4,$5,$6,$7)`,
)
export const insertPolicy = (tx: Tx, now: number, id: string, policy: Policy) =>
  tx.rows(insert, [id, policy.code, policy.parent, policy.effectiveFrom, at(now), policy.title, JSON.stringify(policy)])
