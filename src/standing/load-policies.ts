import type { Policies } from '../domain/policy/policies.ts'
import { publishedPolicies } from '../domain/policy/policies-from.ts'
import { policySchema } from '../domain/policy/policy-schema.ts'
import { type Db, sql } from '../platform/db/client.ts'

const fingerprint = sql(
  'standing-policies-fingerprint',
  `select coalesce(md5(string_agg(id::text, ',' order by id)), '') as fingerprint from policy`,
)
const bodies = sql('standing-policies', 'select body from policy order by code, effective_from')

// Versions are immutable, so what was parsed once for a set of ids is good for ever. A few sets are kept, because
// one process may talk to several databases.
const parsed = new Map<string, Policies>()
const keptSets = 8

/** All published rule sets, parsed; read anew only when a version was added. */
export async function loadPolicies(db: Db): Promise<Policies> {
  const key = (await db.one<{ fingerprint: string }>(fingerprint))?.fingerprint ?? ''
  const known = parsed.get(key)
  if (known) return known
  const rows = await db.rows<{ body: unknown }>(bodies)
  const policies = publishedPolicies(rows.map(row => policySchema.parse(row.body)))
  if (parsed.size >= keptSets) parsed.delete(parsed.keys().next().value!)
  parsed.set(key, policies)
  return policies
}
