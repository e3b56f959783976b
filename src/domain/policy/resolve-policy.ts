import type { RuleRef } from '../answers.ts'
import type { BuildingUse, LocalDay } from '../facts.ts'
import { exact } from '../quantity/exact.ts'
import { converted } from '../quantity/radon-unit.ts'
import type { Policies } from './policies.ts'
import type { Policy, RuleGroup } from './policy-schema.ts'
import type { Level, ResolvedPolicy, Rules, Tier } from './resolved-policy.ts'

/** What of a building decides which rules apply to it. */
export type Place = {
  readonly jurisdiction: string
  readonly buildingUse: BuildingUse
  readonly yearBuilt: number | null
}

/**
 * The law of a place on a day: the rule set of its region, else its country, else the one that stands behind all,
 * with parents folded in. A child outweighs its parent; within one rule set what is said for the use of the
 * building outweighs what is said for all. Before the first version of all, the oldest one stands in.
 * null only when no rule set at all covers the place.
 */
export function resolvePolicy(policies: Policies, place: Place, onDay: LocalDay): ResolvedPolicy | null {
  // Between two turning days nothing about the law changes.
  const stretch = policies.turningDays.findLastIndex(day => day <= onDay)
  const key = `${place.jurisdiction}|${stretch}|${place.buildingUse}|${place.yearBuilt ?? ''}`
  const known = policies.inForce.get(key)
  if (known) return known
  const found = resolvedOn(policies, place, onDay)
  if (policies.inForce.size >= inForceAtMost) policies.inForce.clear()
  if (found) policies.inForce.set(key, found)
  return found
}
const inForceAtMost = 10_000

function resolvedOn(policies: Policies, place: Place, onDay: LocalDay): ResolvedPolicy | null {
  const chain = chainOn(policies, place.jurisdiction, onDay)
  const leaf = chain.at(-1)
  if (!leaf) return null
  const versionKey = chain.map(p => `${p.code}@${p.effectiveFrom}`).join('+')
  const key = `${versionKey}|${place.buildingUse}|${place.yearBuilt ?? ''}`
  const known = policies.resolved.get(key)
  if (known) return known
  const made = fold(chain, leaf, place, versionKey)
  policies.resolved.set(key, made)
  return made
}

/** The version of a rule set in force on a day, or null. */
export function versionOn(policies: Policies, code: string, onDay: LocalDay): Policy | null {
  const version = policies.byCode.get(code)?.findLast(policy => policy.effectiveFrom <= onDay)
  return version && (version.effectiveUntil === null || onDay < version.effectiveUntil) ? version : null
}

// Root first, the most local last.
function chainOn(policies: Policies, jurisdiction: string, onDay: LocalDay): readonly Policy[] {
  const codes = [jurisdiction, jurisdiction.slice(0, 2), '*'].flatMap(at => policies.codeByJurisdiction.get(at) ?? [])
  const leaf =
    codes.map(code => versionOn(policies, code, onDay)).find(version => version !== null) ??
    codes
      .flatMap(code => policies.byCode.get(code)?.[0] ?? [])
      .sort((a, b) => (a.effectiveFrom < b.effectiveFrom ? -1 : 1))[0]
  const chain: Policy[] = []
  for (let policy = leaf ?? null; policy; ) {
    chain.unshift(policy)
    const parent: string | null = policy.parent
    policy = parent === null ? null : (versionOn(policies, parent, onDay) ?? policies.byCode.get(parent)?.[0] ?? null)
  }
  return chain
}

const refOf = (
  policy: Policy,
  rule: string,
  placed: { instrument: string; clause: string; status: RuleRef['status'] },
): RuleRef => ({
  policyCode: policy.code,
  policyFrom: policy.effectiveFrom,
  rule,
  instrument: policy.instruments[placed.instrument]?.title ?? placed.instrument,
  clause: placed.clause,
  year: policy.instruments[placed.instrument]?.year ?? null,
  status: placed.status,
})

function fold(chain: readonly Policy[], leaf: Policy, place: Place, versionKey: string): ResolvedPolicy {
  const rules: Record<string, unknown> = {}
  let levels: readonly Level[] = []
  let tiers: readonly Tier[] = []
  for (const policy of chain) {
    for (const group of [policy.rules, policy.uses[place.buildingUse] ?? {}]) {
      const place = <T extends { instrument: string; clause: string; status: RuleRef['status'] }>(
        placed: T,
        rule: string,
      ) => {
        const { instrument, clause, status, ...rest } = placed
        return { ...rest, ref: refOf(policy, rule, { instrument, clause, status }) }
      }
      if (group.levels) levels = group.levels.map(level => place(level, `level: ${level.label}`))
      if (group.tiers) tiers = group.tiers.map(tier => place(tier, `tier: ${tier.label}`))
      for (const [name, entry] of singleRules(group)) {
        if (entry === null) delete rules[name]
        else rules[name] = { value: entry.value, ref: refOf(policy, name, entry) }
      }
    }
  }
  const level = levelFor(levels, place.yearBuilt)
  return {
    code: leaf.code,
    title: leaf.title,
    from: leaf.effectiveFrom,
    buildingUse: place.buildingUse,
    versionKey,
    level,
    otherLevels: levels.filter(other => other !== level),
    tiers: [...tiers].sort((a, b) => inBecquerels(a).compare(inBecquerels(b))),
    rules: rules as Rules,
  }
}

type SingleRule = { value: unknown; instrument: string; clause: string; status: RuleRef['status'] } | null
const singleRules = ({ levels: _levels, tiers: _tiers, ...rest }: RuleGroup) =>
  Object.entries(rest).filter(([, entry]) => entry !== undefined) as [string, SingleRule][]

const inBecquerels = (tier: Tier) => converted(exact(tier.value), tier.unit, 'Bq/m3')

// A level for the years of building wins over the general one; an unknown year gets the general one.
function levelFor(levels: readonly Level[], yearBuilt: number | null): Level | null {
  const gas = levels.filter(level => level.quantity === 'gas')
  const built = gas.find(
    level =>
      (level.builtFrom !== null || level.builtUntil !== null) &&
      yearBuilt !== null &&
      yearBuilt >= (level.builtFrom ?? yearBuilt) &&
      yearBuilt <= (level.builtUntil ?? yearBuilt),
  )
  return built ?? gas.find(level => level.builtFrom === null && level.builtUntil === null) ?? null
}
