import type { BuildingUse, LocalDay } from '../../src/domain/facts.ts'
import { resolvePolicy } from '../../src/domain/policy/resolve-policy.ts'
import type { ResolvedPolicy } from '../../src/domain/policy/resolved-policy.ts'
import { policies } from './homes.ts'

/** The shipped law of a place on a day. */
export function lawOf(
  jurisdiction: string,
  buildingUse: BuildingUse = 'home',
  day: LocalDay = '2025-11-03',
): ResolvedPolicy {
  const law = resolvePolicy(policies, { jurisdiction, buildingUse, yearBuilt: null }, day)
  if (!law) throw new Error(`no law for ${jurisdiction}`)
  return law
}
