import { type Policy, policySchema, type RuleGroup } from './policy-schema.ts'

/** What is wrong with a rule set, and where: a JSON pointer into it. */
export type PolicyProblem = { readonly path: string; readonly reason: string }
export type ParsedPolicy =
  | { readonly ok: true; readonly policy: Policy }
  | { readonly ok: false; readonly problems: readonly PolicyProblem[] }

/** Reads one version of a rule set, already parsed from JSON; nothing that contradicts itself gets through. */
export function parsePolicy(json: unknown): ParsedPolicy {
  const read = policySchema.safeParse(json)
  if (!read.success) {
    const problems = read.error.issues.map(issue => ({ path: `/${issue.path.join('/')}`, reason: issue.message }))
    return { ok: false, problems }
  }
  const problems = [...contradictions(read.data)]
  return problems.length > 0 ? { ok: false, problems } : { ok: true, policy: read.data }
}

function* contradictions(policy: Policy): Generator<PolicyProblem> {
  if (policy.parent === policy.code) yield { path: '/parent', reason: 'a rule set cannot be its own parent' }
  if (policy.effectiveUntil !== null && policy.effectiveUntil <= policy.effectiveFrom) {
    yield { path: '/effectiveUntil', reason: 'ends before it begins' }
  }
  yield* groupContradictions(policy, '/rules', policy.rules)
  for (const [use, group] of Object.entries(policy.uses)) yield* groupContradictions(policy, `/uses/${use}`, group)
}

function* groupContradictions(policy: Policy, path: string, group: RuleGroup): Generator<PolicyProblem> {
  for (const [name, entry] of Object.entries(group)) {
    for (const [at, placed] of Array.isArray(entry)
      ? entry.map((e, i) => [`/${i}`, e] as const)
      : [['', entry] as const]) {
      if (placed && !(placed.instrument in policy.instruments)) {
        yield { path: `${path}/${name}${at}/instrument`, reason: `no such instrument: ${placed.instrument}` }
      }
    }
  }
  yield* levelContradictions(path, group)
}

const unitsOf = {
  gas: ['pCi/L', 'Bq/m3'],
  'equilibrium-equivalent': ['pCi/L', 'Bq/m3'],
  'working-level': ['WL'],
  dose: ['mSv/y'],
} as const

function* levelContradictions(path: string, group: RuleGroup): Generator<PolicyProblem> {
  for (const [i, level] of (group.levels ?? []).entries()) {
    if (!(unitsOf[level.quantity] as readonly string[]).includes(level.unit)) {
      yield { path: `${path}/levels/${i}/unit`, reason: `${level.quantity} is not stated in ${level.unit}` }
    }
    if (level.builtFrom !== null && level.builtUntil !== null && level.builtFrom > level.builtUntil) {
      yield { path: `${path}/levels/${i}/builtUntil`, reason: 'the years of building run backwards' }
    }
  }
  const tiers = group.tiers ?? []
  for (const [i, tier] of tiers.entries()) {
    const same = tiers.findIndex(other => other.value === tier.value && other.unit === tier.unit)
    if (same < i) yield { path: `${path}/tiers/${i}/value`, reason: `the same band as /tiers/${same}` }
  }
}
