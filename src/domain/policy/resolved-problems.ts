import { type LawProblem, lawProblems } from './law-problems.ts'
import type { Policies } from './policies.ts'
import { type PolicyProblem, pointerTo, versionName } from './policy-problem.ts'
import { buildingUses, type Policy } from './policy-schema.ts'
import { type Place, resolvePolicy, versionOn } from './resolve-policy.ts'
import type { ResolvedPolicy } from './resolved-policy.ts'

/** Contradictions that show only once parents are folded in, for every place, use, year of building and turning day. */
export function resolvedProblems(policies: Policies): readonly PolicyProblem[] {
  const problems = new Map<string, PolicyProblem>()
  const years = [null, ...yearsNamed(policies)]
  const problemsOf = onceEach(law => [...lawProblems(law)])
  for (const [jurisdiction, code] of policies.codeByJurisdiction) {
    for (const day of policies.turningDays) {
      const version = versionOn(policies, code, day)
      for (const buildingUse of version ? buildingUses : []) {
        for (const yearBuilt of years) {
          const place = { jurisdiction, buildingUse, yearBuilt }
          for (const { rule, reason, remedy } of ownProblems(policies, version!, place, day, problemsOf)) {
            const path = pathOf(version!, buildingUse, rule)
            problems.set(`${versionName(version!)} ${path} ${reason}`, {
              version: versionName(version!),
              path,
              reason,
              remedy,
            })
          }
        }
      }
    }
  }
  return [...problems.values()]
}

type ProblemsOf = (law: ResolvedPolicy) => readonly LawProblem[]

// Most turning days and years of building leave a law as it was, and it is the same object then.
function onceEach(judge: ProblemsOf): ProblemsOf {
  const judged = new Map<ResolvedPolicy, readonly LawProblem[]>()
  return law => {
    const known = judged.get(law) ?? judge(law)
    judged.set(law, known)
    return known
  }
}

// What is wrong with its parent's law already is told there, not again by every child.
function ownProblems(
  policies: Policies,
  version: Policy,
  place: Place,
  day: string,
  problemsOf: ProblemsOf,
): readonly LawProblem[] {
  const problemsIn = (jurisdiction: string) => {
    const law = resolvePolicy(policies, { ...place, jurisdiction }, day)
    return law ? problemsOf(law) : []
  }
  const own = problemsIn(place.jurisdiction)
  const parent = version.parent === null ? undefined : policies.byCode.get(version.parent)?.[0]
  if (own.length === 0 || !parent) return own
  const inherited = new Set(problemsIn(parent.jurisdiction).map(textOf))
  return own.filter(problem => !inherited.has(textOf(problem)))
}

const textOf = ({ rule, reason }: LawProblem) => `${rule} ${reason}`

const yearsNamed = ({ byCode }: Policies): ReadonlySet<number> =>
  new Set(
    [...byCode.values()]
      .flat()
      .flatMap(({ rules, uses }) => [rules, ...Object.values(uses)])
      .flatMap(({ levels = [] }) => levels.flatMap(({ builtFrom, builtUntil }) => [builtFrom, builtUntil]))
      .filter(year => year !== null),
  )

// Where the version says it; what it has from a parent it would have to say otherwise, in its rules.
function pathOf({ rules, uses }: Policy, use: (typeof buildingUses)[number], rule: string): string {
  if (uses[use] && Object.hasOwn(uses[use], rule)) return pointerTo(['uses', use, rule])
  return pointerTo(Object.hasOwn(rules, rule) ? ['rules', rule] : ['rules'])
}
