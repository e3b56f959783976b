import { readdirSync, readFileSync } from 'node:fs'
import type { BuildingUse, LocalDay } from '../../src/domain/facts.ts'
import { parsePolicy } from '../../src/domain/policy/parse-policy.ts'
import { policiesFrom } from '../../src/domain/policy/policies-from.ts'
import { resolvePolicy } from '../../src/domain/policy/resolve-policy.ts'
import type { ResolvedPolicy } from '../../src/domain/policy/resolved-policy.ts'

const folder = new URL('../../seed/jurisdictions/', import.meta.url)

/** The rule sets that the service ships, put together. */
export function shippedPolicies() {
  const parsed = readdirSync(folder).map(name => parsePolicy(JSON.parse(readFileSync(new URL(name, folder), 'utf8'))))
  const read = policiesFrom(parsed.flatMap(one => (one.ok ? [one.policy] : [])))
  if (!read.ok) throw new Error(JSON.stringify(read.problems))
  return read.policies
}

/** The shipped law of a place on a day. */
export function lawOf(
  jurisdiction: string,
  buildingUse: BuildingUse = 'home',
  day: LocalDay = '2025-11-03',
): ResolvedPolicy {
  const law = resolvePolicy(shippedPolicies(), { jurisdiction, buildingUse, yearBuilt: null }, day)
  if (!law) throw new Error(`no law for ${jurisdiction}`)
  return law
}
