import { addPeriod } from '../calendar/day-sums.ts'
import { exact } from '../quantity/exact.ts'
import { converted } from '../quantity/radon-unit.ts'
import type { RuleName } from './policy-schema.ts'
import type { Level, ResolvedPolicy, Rules, Tier } from './resolved-policy.ts'

export type LawProblem = {
  readonly rule: RuleName | 'levels' | 'tiers'
  readonly reason: string
  readonly remedy: string
}

/** Where a law, parents folded in, contradicts itself or says half of what it needs. */
export function* lawProblems(law: ResolvedPolicy): Generator<LawProblem> {
  yield* decisionProblems(law)
  yield* halves(law.rules)
  yield* orderProblems(law.rules)
  for (const [method, hours] of Object.entries(law.rules.minimumHours?.value ?? {})) {
    const long = law.rules.longTermHours?.value
    if (long !== undefined && hours > long) {
      yield {
        rule: 'minimumHours',
        reason: `the shortest test by ${method} (${hours} h) is longer than a long-term one (${long} h)`,
        remedy: 'Correct one of the two.',
      }
    }
  }
}

const inBecquerels = ({ value, unit }: Level | Tier) =>
  converted(exact(value), unit === 'pCi/L' ? unit : 'Bq/m3', 'Bq/m3')

function* decisionProblems({ level, tiers, rules }: ResolvedPolicy): Generator<LawProblem> {
  const rounding = rules.rounding?.value
  if (rounding && level && rounding.unit !== level.unit) {
    yield {
      rule: 'rounding',
      reason: `rounds in ${rounding.unit}, but its level is stated in ${level.unit}`,
      remedy: 'Round in the unit of the level, or take the rounding away with null.',
    }
  }
  if (level && !rules.decidedBy) {
    yield { rule: 'decidedBy', reason: 'a level, but no word on what decides', remedy: 'State which tests decide.' }
  }
  if (rules.decidedBy?.value === 'long-term' && !rules.longTermHours) {
    yield {
      rule: 'longTermHours',
      reason: 'long-term tests decide, but their length is not stated',
      remedy: 'State the hours from which a test is long-term.',
    }
  }
  for (const tier of level ? tiers : []) {
    if (tier.asks === 'mitigation' && inBecquerels(tier).compare(inBecquerels(level!)) < 0) {
      yield {
        rule: 'tiers',
        reason: `asks for mitigation from ${tier.value} ${tier.unit}, below the level of ${level!.value} ${level!.unit}`,
        remedy: 'Below the level a band can ask no more than to consider it; or lower the level.',
      }
    }
  }
}

// One says how much, the other for which tests, by when or after what: each alone would never be applied.
const pairs: readonly (readonly [RuleName, RuleName])[] = [
  ['closedBeforeHours', 'closedBeforeUnderHours'],
  ['fanRunningHours', 'fanRunningUnderHours'],
  ['urgentFollowUpFactor', 'urgentFollowUpWithin'],
  ['retestAfterEvents', 'retestAfterEventWithin'],
]

function* halves(rules: Rules): Generator<LawProblem> {
  for (const pair of pairs) {
    const [said, unsaid] = rules[pair[0]] ? pair : ([pair[1], pair[0]] as const)
    if (rules[said] && !rules[unsaid]) {
      yield { rule: said, reason: `says nothing without ${unsaid}`, remedy: `State ${unsaid} too, or take this away.` }
    }
  }
}

type Order = {
  readonly rule: RuleName
  readonly low: number | string | undefined
  readonly high: number | string | undefined
  readonly reason: string
}

// Any day will do to tell the longer of two periods.
const from = '2001-01-01'
const after = (period: string | undefined) => (period === undefined ? undefined : addPeriod(from, period))

function* orderProblems(rules: Rules): Generator<LawProblem> {
  const monitor = rules.minimumHours?.value['continuous-monitor']
  const earliest = rules.postMitigationEarliestHours?.value
  const usable = rules.usableHours && rules.usableHours.value + (rules.equilibriumHours?.value ?? 0)
  const orders: readonly Order[] = [
    {
      rule: 'minimumHeightCm',
      low: rules.minimumHeightCm?.value,
      high: rules.maximumHeightCm?.value,
      reason: 'the lowest place is above the highest',
    },
    {
      rule: 'usableHours',
      low: usable,
      high: monitor,
      reason: 'the first hours left out and the hours that must hang together are more than the shortest test has',
    },
    {
      rule: 'urgentFollowUpWithin',
      low: after(rules.urgentFollowUpWithin?.value),
      high: after(rules.followUpWithin?.value),
      reason: 'an urgent follow-up is given more time than another',
    },
    {
      rule: 'postMitigationEarliestHours',
      low: earliest === undefined ? undefined : after(`P${Math.ceil(earliest / 24)}D`),
      high: after(rules.postMitigationWithin?.value),
      reason: 'the test after mitigation is due before it may begin',
    },
  ]
  for (const { rule, low, high, reason } of orders) {
    if (low !== undefined && high !== undefined && low > high) yield { rule, reason, remedy: 'Correct one of the two.' }
  }
}
