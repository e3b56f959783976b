import { type Policy, policySchema } from '../../domain/policy/policy-schema.ts'
import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { insertPolicy, policyBodyAt } from './queries.ts'

/**
 * Publishes one version of a rule set (the data of seed/jurisdictions); gives its id, or null when the very same
 * version is published already. A published version never changes: another body for the same day is refused (409).
 */
export async function publishPolicy(tx: Tx, act: Act, body: unknown): Promise<string | null> {
  const policy: Policy = policySchema.parse(body)
  const kept = await policyBodyAt(tx, policy.code, policy.effectiveFrom)
  if (kept) {
    if (JSON.stringify(policySchema.parse(kept)) === JSON.stringify(policy)) return null
    const version = `${policy.code} of ${policy.effectiveFrom}`
    throw problem(409, 'already-published', `${version} is published and can not change: publish it from a later day.`)
  }
  const id = newId()
  await insertPolicy(tx, act.now, id, policy)
  await recordWrite(tx, act, { action: 'create', noun: 'policy', id, version: 1 })
  return id
}
