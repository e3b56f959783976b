import { lineProblems } from './line-problems.ts'
import type { Policies } from './policies.ts'
import type { PolicyProblem } from './policy-problem.ts'
import type { Policy } from './policy-schema.ts'
import { resolvedProblems } from './resolved-problems.ts'

export type PoliciesRead =
  | { readonly ok: true; readonly policies: Policies }
  | { readonly ok: false; readonly problems: readonly PolicyProblem[] }

/** Puts parsed rule sets together; versions that contradict each other, alone or once parents are folded in, are refused. */
export function policiesFrom(parsed: readonly Policy[]): PoliciesRead {
  const problems = lineProblems(parsed)
  if (problems.length > 0) return { ok: false, problems }
  const policies = publishedPolicies(parsed)
  const contradictions = resolvedProblems(policies)
  return contradictions.length > 0 ? { ok: false, problems: contradictions } : { ok: true, policies }
}

/**
 * Rule sets that were refused or taken when they were published: they are not judged again, or a check that came
 * later would stop a service over rules it has lived with.
 */
export function publishedPolicies(parsed: readonly Policy[]): Policies {
  const byCode = new Map<string, Policy[]>()
  const codeByJurisdiction = new Map<string, string>()
  for (const policy of [...parsed].sort((a, b) => (a.effectiveFrom < b.effectiveFrom ? -1 : 1))) {
    byCode.set(policy.code, [...(byCode.get(policy.code) ?? []), policy])
    codeByJurisdiction.set(policy.jurisdiction, codeByJurisdiction.get(policy.jurisdiction) ?? policy.code)
  }
  const days = parsed.flatMap(p =>
    p.effectiveUntil === null ? [p.effectiveFrom] : [p.effectiveFrom, p.effectiveUntil],
  )
  const turningDays = [...new Set(days)].sort()
  return { byCode, codeByJurisdiction, turningDays, resolved: new Map(), inForce: new Map() }
}
