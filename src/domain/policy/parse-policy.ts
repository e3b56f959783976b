import { type PolicyProblem, versionName } from './policy-problem.ts'
import { type Policy, policySchema } from './policy-schema.ts'
import { shapeProblems } from './shape-problems.ts'
import { versionProblems } from './version-problems.ts'

export type ParsedPolicy =
  | { readonly ok: true; readonly policy: Policy }
  | { readonly ok: false; readonly problems: readonly PolicyProblem[] }

/** Reads one version of a rule set, already parsed from JSON; nothing that contradicts itself gets through. */
export function parsePolicy(json: unknown): ParsedPolicy {
  const read = policySchema.safeParse(json)
  if (!read.success) return { ok: false, problems: shapeProblems(json, read.error.issues) }
  const version = versionName(read.data)
  const problems = [...versionProblems(read.data)].map(problem => ({ version, ...problem }))
  return problems.length > 0 ? { ok: false, problems } : { ok: true, policy: read.data }
}
