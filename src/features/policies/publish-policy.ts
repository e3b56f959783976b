import { parsePolicy } from '../../domain/policy/parse-policy.ts'
import { canonicalText } from '../../domain/standing/canonical-text.ts'
import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { markAllHomesStale } from '../../standing/restand-stale.ts'
import { insertPolicy, policyBodyAt } from './queries.ts'

/**
 * Publishes one version of a rule set (the data of seed/jurisdictions); gives its id, or null when the very same
 * version is published already. Throws 422 for data that contradicts itself, 409 for another body of a published
 * version, which never changes.
 */
export async function publishPolicy(tx: Tx, act: Act, body: unknown): Promise<string | null> {
  const read = parsePolicy(body)
  if (!read.ok) {
    const faults = read.problems.map(({ path, reason }) => ({ pointer: path, code: 'policy', detail: reason }))
    throw problem(422, 'impossible', 'The rule set can not be read; nothing was published.', faults)
  }
  const { policy } = read
  const kept = await policyBodyAt(tx, policy.code, policy.effectiveFrom)
  if (kept !== null) {
    const before = parsePolicy(kept)
    if (before.ok && canonicalText(before.policy) === canonicalText(policy)) return null
    const version = `${policy.code} of ${policy.effectiveFrom}`
    throw problem(409, 'already-published', `${version} is published and can not change: publish it from a later day.`)
  }
  const id = newId()
  await insertPolicy(tx, act.now, id, policy)
  await recordWrite(tx, act, { action: 'create', noun: 'policy', id, version: 1 })
  await markAllHomesStale(tx, act.now)
  return id
}
