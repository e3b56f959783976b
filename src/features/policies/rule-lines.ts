import { isPeriod, periodWords } from '../../domain/calendar/day-sums.ts'
import type { LocalDay } from '../../domain/facts.ts'
import type { RuleGroup } from '../../domain/policy/policy-schema.ts'
import type { PublishedPolicy } from './queries.ts'

/** One rule as it is printed: what it is, what it says, where it stands. */
export type RuleLine = {
  readonly name: string
  readonly value: string
  readonly clause: string
  readonly status: 'checked' | 'unverified'
}
type Placed = { readonly instrument: string; readonly clause: string; readonly status: RuleLine['status'] }

const worded = (name: string): string => {
  const words = name.replaceAll(/([A-Z]+)/g, ' $1').toLowerCase()
  return words.charAt(0).toUpperCase() + words.slice(1)
}

// Periods are said in words; lists and tables are set out.
function printed(value: unknown): string {
  if (Array.isArray(value)) return value.map(printed).join('; ')
  if (typeof value === 'string' && isPeriod(value)) return periodWords(value)
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  if (typeof value !== 'object' || value === null) return String(value)
  return Object.entries(value)
    .map(([key, inner]) => `${worded(key).toLowerCase()} ${printed(inner)}`)
    .join(', ')
}

/** The rules of a group in the order of the data: levels and bands first. */
export function ruleLines(group: RuleGroup, instruments: PublishedPolicy['body']['instruments']): RuleLine[] {
  const placed = ({ instrument, clause, status }: Placed) => {
    const known = instruments[instrument]
    const title = known ? `${known.title}${known.year ? ` (${known.year})` : ''}` : instrument
    return { clause: `${title}, ${clause}`, status }
  }
  const { levels = [], tiers = [], ...rules } = group
  return [
    ...levels.map(level => ({
      name: level.label,
      value: `${level.operator === '>=' ? 'at or above' : 'above'} ${level.value} ${level.unit}${level.binding ? ', binding' : ''}`,
      ...placed(level),
    })),
    ...tiers.map(tier => ({
      name: tier.label,
      value: `${tier.operator === '>=' ? 'at or above' : 'above'} ${tier.value} ${tier.unit}: ${tier.asks.replaceAll('-', ' ')}`,
      ...placed(tier),
    })),
    ...Object.entries(rules).flatMap(([name, rule]) =>
      rule ? [{ name: worded(name), value: printed(rule.value), ...placed(rule) }] : [],
    ),
  ]
}

/** How many of a version's rules were checked against the document, in words. */
export function statusCount({ body, effectiveFrom }: PublishedPolicy, today: LocalDay): string {
  const lines = [body.rules, ...Object.values(body.uses)].flatMap(group => ruleLines(group, body.instruments))
  const checked = lines.filter(line => line.status === 'checked').length
  return `${checked} of ${lines.length} checked${effectiveFrom > today ? ', not yet in force' : ''}`
}
