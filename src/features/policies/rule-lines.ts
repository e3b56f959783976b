import { periodWords } from '../../domain/calendar/day-sums.ts'
import type { LocalDay } from '../../domain/facts.ts'
import type { RuleGroup } from '../../domain/policy/policy-schema.ts'
import { unitWords } from '../../web/quantity-text.tsx'
import type { PublishedPolicy } from './queries.ts'
import { type RulePart, ruleSaid, rulesInOrder } from './rule-words.ts'

type Level = NonNullable<RuleGroup['levels']>[number]
type Tier = NonNullable<RuleGroup['tiers']>[number]

/** One rule as it is printed: what it is, what it says, where it stands. */
export type RuleLine = {
  readonly part: RulePart | 'level'
  readonly name: string
  readonly value: string
  readonly clause: string
  readonly status: 'checked' | 'unverified'
}
type Placed = { readonly instrument: string; readonly clause: string; readonly status: RuleLine['status'] }

const statisticWords: Record<Level['statistic'], string> = {
  'dwelling-mean': 'one figure for the dwelling',
  'worst-lived-in-room': 'the highest of the lived-in rooms',
  'each-location': 'each location that was tested',
  'mean-of-required-rooms': 'the mean of the rooms that have to be tested',
}
const quantityKinds: Record<Level['quantity'], string> = {
  gas: '',
  'equilibrium-equivalent': ' (equilibrium-equivalent; told beside a result, not held against it)',
  'working-level': ' (working level; told beside a result, not held against it)',
  dose: ' (dose; told beside a result, not held against it)',
  'occupational-exposure': ' (what a worker breathes; told beside a result, not held against it)',
}

const overWords = ({ operator, value, unit }: Pick<Level, 'operator' | 'value' | 'unit'>): string =>
  `${operator === '>=' ? 'at or above' : 'above'} ${value} ${unitWords(unit)}`

function builtWords({ builtFrom, builtUntil }: Level): string {
  if (builtFrom === null && builtUntil === null) return ''
  const from = builtFrom === null ? '' : ` from ${builtFrom}`
  return `; for buildings built${from}${builtUntil === null ? ' on' : ` until ${builtUntil}`}`
}

const levelWords = (level: Level): string =>
  `${overWords(level)}${quantityKinds[level.quantity]}, ${level.binding ? 'required by law' : 'recommended'}; held against ${statisticWords[level.statistic]}${builtWords(level)}`

const tierWords = (tier: Tier): string =>
  `${overWords(tier)}: ${tier.asks.replaceAll('-', ' ')}${tier.deadline === null ? '' : ` within ${periodWords(tier.deadline)}`}`

/** The rules of a group as they are read: levels and bands, what decides, how a test is made, by when. */
export function ruleLines(group: RuleGroup, instruments: PublishedPolicy['body']['instruments']): RuleLine[] {
  const placed = ({ instrument, clause, status }: Placed) => {
    const known = instruments[instrument]
    const title = known ? `${known.title}${known.year ? ` (${known.year})` : ''}` : instrument
    return { clause: `${title}, ${clause}`, status }
  }
  const { levels = [], tiers = [], ...rules } = group
  return [
    ...levels.map(level => ({ part: 'level' as const, name: level.label, value: levelWords(level), ...placed(level) })),
    ...tiers.map(tier => ({ part: 'level' as const, name: tier.label, value: tierWords(tier), ...placed(tier) })),
    ...rulesInOrder.flatMap(name => {
      const rule = rules[name]
      return rule ? [{ ...ruleSaid(name, rule), ...placed(rule) }] : []
    }),
  ]
}

/** The level that homes are held against, in a few words. */
export function levelOfHomes({ body, parentCode }: PublishedPolicy): string {
  const levels = body.uses.home?.levels ?? body.rules.levels ?? []
  const [gas] = levels.filter(({ quantity }) => quantity === 'gas')
  return gas ? overWords(gas) : `as in ${parentCode ?? 'no other'}`
}

/** How many of a version's rules were checked against the document, in words. */
export function statusCount({ body, effectiveFrom }: PublishedPolicy, today: LocalDay): string {
  const lines = [body.rules, ...Object.values(body.uses)].flatMap(group => ruleLines(group, body.instruments))
  const checked = lines.filter(line => line.status === 'checked').length
  return `${checked} of ${lines.length} checked${effectiveFrom > today ? ', not yet in force' : ''}`
}
