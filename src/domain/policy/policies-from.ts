import type { PolicyProblem } from './parse-policy.ts'
import type { Policies } from './policies.ts'
import type { Policy } from './policy-schema.ts'
import { resolvedProblems } from './resolved-problems.ts'

export type PoliciesRead =
  | { readonly ok: true; readonly policies: Policies }
  | { readonly ok: false; readonly problems: readonly PolicyProblem[] }

/** Puts parsed rule sets together; a missing parent, a circle or a law that contradicts itself once resolved is refused. */
export function policiesFrom(parsed: readonly Policy[]): PoliciesRead {
  const byCode = new Map<string, Policy[]>()
  const codeByJurisdiction = new Map<string, string>()
  const problems: PolicyProblem[] = []
  for (const policy of [...parsed].sort((a, b) => (a.effectiveFrom < b.effectiveFrom ? -1 : 1))) {
    const versions = byCode.get(policy.code) ?? []
    const at = `${policy.code}@${policy.effectiveFrom}`
    if (versions.at(-1)?.effectiveFrom === policy.effectiveFrom) {
      problems.push({ path: `${at}/effectiveFrom`, reason: 'another version of it begins on the same day' })
    }
    const holder = codeByJurisdiction.get(policy.jurisdiction) ?? policy.code
    if (holder !== policy.code) {
      problems.push({ path: `${at}/jurisdiction`, reason: `${policy.jurisdiction} already has the rule set ${holder}` })
    }
    codeByJurisdiction.set(policy.jurisdiction, holder)
    byCode.set(policy.code, [...versions, policy])
  }
  problems.push(...parentProblems(byCode))
  if (problems.length > 0) return { ok: false, problems }
  const days = parsed.flatMap(p =>
    p.effectiveUntil === null ? [p.effectiveFrom] : [p.effectiveFrom, p.effectiveUntil],
  )
  const turningDays = [...new Set(days)].sort()
  const policies: Policies = { byCode, codeByJurisdiction, turningDays, resolved: new Map(), inForce: new Map() }
  const contradictions = resolvedProblems(policies)
  return contradictions.length > 0 ? { ok: false, problems: contradictions } : { ok: true, policies }
}

function parentProblems(byCode: ReadonlyMap<string, readonly Policy[]>): PolicyProblem[] {
  return [...byCode.values()].flat().flatMap(policy => {
    const path = `${policy.code}@${policy.effectiveFrom}/parent`
    const seen = new Set([policy.code])
    for (let code = policy.parent; code !== null; code = byCode.get(code)?.at(-1)?.parent ?? null) {
      if (!byCode.has(code)) return [{ path, reason: `no such rule set: ${code}` }]
      if (seen.has(code)) return [{ path, reason: `a circle of parents: ${[...seen, code].join(' → ')}` }]
      seen.add(code)
    }
    return []
  })
}
