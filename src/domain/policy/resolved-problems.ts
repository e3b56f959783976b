import { lawProblems } from './law-problems.ts'
import type { Policies } from './policies.ts'
import { type Contradiction, type PolicyProblem, pointerTo, versionName } from './policy-problem.ts'
import { buildingUses, type Policy } from './policy-schema.ts'
import { resolvePolicy, versionOn } from './resolve-policy.ts'

/** Contradictions that show only once parents are folded in, for every place, use, year of building and turning day. */
export function resolvedProblems(policies: Policies): readonly PolicyProblem[] {
  const problems = new Map<string, PolicyProblem>()
  const years = [null, ...yearsNamed(policies)]
  for (const [jurisdiction, code] of policies.codeByJurisdiction) {
    for (const buildingUse of buildingUses) {
      for (const day of policies.turningDays) {
        const version = versionOn(policies, code, day)
        if (!version) continue
        for (const yearBuilt of years) {
          const law = resolvePolicy(policies, { jurisdiction, buildingUse, yearBuilt }, day)
          for (const { rule, reason, remedy } of law ? lawProblems(law) : []) {
            const problem = { version: versionName(version), ...placed(version, buildingUse, rule), reason, remedy }
            problems.set(`${problem.version} ${problem.path} ${reason}`, problem)
          }
        }
      }
    }
  }
  return [...problems.values()]
}

const yearsNamed = ({ byCode }: Policies): ReadonlySet<number> =>
  new Set(
    [...byCode.values()]
      .flat()
      .flatMap(({ rules, uses }) => [rules, ...Object.values(uses)])
      .flatMap(({ levels = [] }) => levels.flatMap(({ builtFrom, builtUntil }) => [builtFrom, builtUntil]))
      .filter(year => year !== null),
  )

// Where the version itself says it; what comes from a parent is missing or wrong in the group that would say otherwise.
function placed(
  { rules, uses }: Policy,
  use: (typeof buildingUses)[number],
  rule: string,
): Pick<Contradiction, 'path'> {
  const at = uses[use] && Object.hasOwn(uses[use], rule) ? ['uses', use] : ['rules']
  return { path: pointerTo(Object.hasOwn(rules, rule) || at.length === 2 ? [...at, rule] : at) }
}
