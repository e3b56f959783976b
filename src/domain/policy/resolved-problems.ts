import type { PolicyProblem } from './parse-policy.ts'
import type { Policies } from './policies.ts'
import { buildingUses } from './policy-schema.ts'
import { resolvePolicy } from './resolve-policy.ts'
import type { ResolvedPolicy } from './resolved-policy.ts'

/** Contradictions that show only once parents are folded in, for every place, use and turning day. */
export function resolvedProblems(policies: Policies): readonly PolicyProblem[] {
  const problems = new Map<string, PolicyProblem>()
  for (const jurisdiction of policies.codeByJurisdiction.keys()) {
    for (const buildingUse of buildingUses) {
      for (const day of policies.turningDays) {
        const law = resolvePolicy(policies, { jurisdiction, buildingUse, yearBuilt: null }, day)
        for (const problem of law ? lawProblems(law) : []) problems.set(`${problem.path} ${problem.reason}`, problem)
      }
    }
  }
  return [...problems.values()]
}

function* lawProblems({ code, from, buildingUse, level, rules }: ResolvedPolicy): Generator<PolicyProblem> {
  const at = (name: string) => `${code}@${from}/${buildingUse}/${name}`
  const notOver = (low: number | undefined, high: number | undefined) =>
    low === undefined || high === undefined || low <= high
  const rounding = rules.rounding?.value
  if (rounding && level && rounding.unit !== level.unit) {
    yield { path: at('rounding'), reason: `rounds in ${rounding.unit}, but its level is stated in ${level.unit}` }
  }
  if (level && !rules.decidedBy) yield { path: at('decidedBy'), reason: 'a level, but no word on what decides' }
  if (rules.decidedBy?.value === 'long-term' && !rules.longTermHours) {
    yield { path: at('longTermHours'), reason: 'long-term tests decide, but their length is not stated' }
  }
  if (!notOver(rules.minimumHeightCm?.value, rules.maximumHeightCm?.value)) {
    yield { path: at('minimumHeightCm'), reason: 'the lowest place is above the highest' }
  }
  const monitor = rules.minimumHours?.value['continuous-monitor']
  if (!notOver(rules.usableHours?.value, monitor)) {
    yield { path: at('usableHours'), reason: 'more usable hours than the shortest test has' }
  }
  for (const [method, hours] of Object.entries(rules.minimumHours?.value ?? {})) {
    if (!notOver(hours, rules.longTermHours?.value)) {
      yield { path: at(`minimumHours/${method}`), reason: 'the shortest test is longer than a long-term one' }
    }
  }
}
