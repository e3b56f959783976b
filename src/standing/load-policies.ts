import type { Policies } from '../domain/policy/policies.ts'
import { publishedPolicies } from '../domain/policy/policies-from.ts'
import { policySchema } from '../domain/policy/policy-schema.ts'
import { type Db, sql } from '../platform/db/client.ts'

/** Which rule sets are published, as one short text. */
export const setOfRules = `select coalesce(md5(string_agg(r.id::text, ',' order by r.id)), '') from policy r`
const present = sql('standing-set-of-rules', `select (${setOfRules}) as rules`)
const bodies = sql('standing-policies', 'select body from policy order by code, effective_from')

// Versions are immutable, so what was parsed once for a set of ids is good for ever. A few sets are kept, because
// one process may talk to several databases.
const parsed = new Map<string, Policies>()
const keptSets = 8

/** Which rule sets are published: equal texts mean equal rules. */
export const rulesPublished = async (db: Db): Promise<string> => (await db.one<{ rules: string }>(present))?.rules ?? ''

/** All published rule sets, parsed. */
export const loadPolicies = async (db: Db): Promise<Policies> => policiesOf(db, await rulesPublished(db))

/** The rule sets that `setOfRules` told of; read only when one of them is new. */
export async function policiesOf(db: Db, rules: string): Promise<Policies> {
  const known = parsed.get(rules)
  if (known) return known
  const rows = await db.rows<{ body: unknown }>(bodies)
  const policies = publishedPolicies(rows.map(row => policySchema.parse(row.body)))
  if (parsed.size >= keptSets) parsed.delete(parsed.keys().next().value!)
  parsed.set(rules, policies)
  return policies
}
