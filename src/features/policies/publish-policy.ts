import { parsePolicy } from '../../domain/policy/parse-policy.ts'
import { policiesFrom } from '../../domain/policy/policies-from.ts'
import { type PolicyProblem, versionName } from '../../domain/policy/policy-problem.ts'
import { type Policy, policySchema } from '../../domain/policy/policy-schema.ts'
import { canonicalText } from '../../domain/standing/canonical-text.ts'
import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { type Problem, problem } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { markAllHomesStale } from '../../standing/restand-stale.ts'
import { insertPolicy, lockPolicies, publishedBodies } from './queries.ts'

/** Publishes one version of a rule set, as `publishPolicies` does several. */
export async function publishPolicy(tx: Tx, act: Act, body: unknown): Promise<string | null> {
  const [id = null] = await publishPolicies(tx, act, [body])
  return id
}

/**
 * Publishes versions of rule sets (the data of seed/jurisdictions), all or none, in any order; gives the id of each, or
 * null for one that is published already, word for word. Throws 422 for data that contradicts itself or what is
 * published, 409 for another body of a published version, which never changes.
 */
export async function publishPolicies(tx: Tx, act: Act, bodies: readonly unknown[]): Promise<(string | null)[]> {
  const versions = bodies.map(read)
  await lockPolicies(tx)
  const kept = (await publishedBodies(tx)).map(body => policySchema.parse(body))
  const fresh = versions.filter(policy => !isPublished(policy, kept))
  const together = policiesFrom([...kept, ...fresh])
  if (!together.ok) throw refused(together.problems, fresh)
  const ids = new Map(fresh.map(policy => [policy, newId()]))
  for (const [policy, id] of ids) {
    await insertPolicy(tx, act.now, id, policy)
    await recordWrite(tx, act, { action: 'create', noun: 'policy', id, version: 1 })
  }
  if (ids.size > 0) await markAllHomesStale(tx, act.now)
  return versions.map(policy => ids.get(policy) ?? null)
}

/**
 * Publishes those versions that are not published yet and leaves the others as they are: a version never changes. Gives
 * the names of the published ones that read otherwise here.
 */
export async function publishNewPolicies(tx: Tx, act: Act, bodies: readonly unknown[]): Promise<readonly string[]> {
  await lockPolicies(tx)
  const kept = (await publishedBodies(tx)).map(body => policySchema.parse(body))
  const texts = new Map(kept.map(policy => [versionName(policy), canonicalText(policy)]))
  const versions = bodies.map(body => ({ body, policy: read(body) }))
  const fresh = versions.filter(({ policy }) => !texts.has(versionName(policy)))
  await publishPolicies(
    tx,
    act,
    fresh.map(({ body }) => body),
  )
  return versions
    .filter(({ policy }) => (texts.get(versionName(policy)) ?? canonicalText(policy)) !== canonicalText(policy))
    .map(({ policy }) => versionName(policy))
}

function read(body: unknown): Policy {
  const parsed = parsePolicy(body)
  if (!parsed.ok) throw refused(parsed.problems, [])
  return parsed.policy
}

function isPublished(policy: Policy, kept: readonly Policy[]): boolean {
  const before = kept.find(one => versionName(one) === versionName(policy))
  if (!before) return false
  if (canonicalText(before) === canonicalText(policy)) return true
  const version = `${policy.code} of ${policy.effectiveFrom}`
  throw problem(409, 'already-published', `${version} is published and can not change: publish it from a later day.`)
}

/** 422 for contradictions: a pointer leads into the version that is published; what it would break elsewhere is told by name. */
export function refused(problems: readonly PolicyProblem[], fresh: readonly Policy[]): Problem {
  const ours = new Set(fresh.map(versionName))
  const faults = problems.map(({ version, path, reason, remedy }) => {
    const elsewhere = ours.size > 0 && !ours.has(version)
    const where = elsewhere || ours.size > 1 ? `${version}${elsewhere ? path : ''}: ` : ''
    return { pointer: elsewhere ? '' : path, code: 'policy', detail: `${where}${reason}. ${remedy}` }
  })
  return problem(
    422,
    'impossible',
    'The rule set contradicts itself or what is published; nothing was published.',
    faults,
  )
}
