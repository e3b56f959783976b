import type { Obligation, ObligationKind } from '../answers.ts'
import { addDays, addPeriod, type Period, periodWords } from '../calendar/day-sums.ts'
import { endOfDay, instantOn } from '../calendar/local-day.ts'
import type { LocalDay } from '../facts.ts'
import type { ResolvedPolicy, Rule } from '../policy/resolved-policy.ts'

/** Where and under which of today's rules something is owed. */
export type OwedContext = { readonly zone: string; readonly law: ResolvedPolicy }

export type Duty = {
  readonly kind: ObligationKind
  readonly causeId: string
  /** The local day it is counted from, and what happened on it. */
  readonly countedFrom: LocalDay
  /** What is known of that day where it is only the last one it can have been: `2011`, `day unknown`. */
  readonly roughly?: string | null
  readonly event: string
  readonly within: Rule<Period>
  readonly earliestOn: LocalDay | null
  readonly owedBy: Obligation['owedBy']
  readonly recommended: boolean
  readonly reason: string
}

/** A duty with its due day, the instants of its reminders and the sum that led to them. */
export function owed(duty: Duty, { zone, law }: OwedContext): Obligation {
  const { kind, causeId, countedFrom, within, earliestOn, owedBy, recommended, reason } = duty
  const counted = addPeriod(countedFrom, within.value)
  // Never due before it can be done.
  const dueOn = earliestOn !== null && earliestOn > counted ? earliestOn : counted
  return {
    kind,
    causeId,
    earliestOn,
    dueOn,
    dueAt: endOfDay(dueOn, zone),
    remindAt: owedBy === 'homeowner' ? rungsOf(dueOn, countedFrom, zone, law) : [],
    owedBy,
    recommended,
    because: [{ text: reason, rule: within.ref }],
    working: {
      title: `Due day: ${reason}`,
      inputs: [{ label: duty.event, value: countedFromWords(duty) }],
      lines: [{ left: `${countedFrom} + ${periodWords(within.value)}`, relation: '=', right: counted, note: zone }],
      rule: within.ref,
      outcome: `due on ${dueOn}${earliestOn === null ? '' : `, not before ${earliestOn}`}`,
    },
  }
}

const countedFromWords = ({ roughly, countedFrom }: Duty) =>
  roughly ? `${roughly}, counted from ${countedFrom}, the last day it can mean` : countedFrom

// A rung on or before the day it is counted from would remind of what has only just happened.
function rungsOf(dueOn: LocalDay, countedFrom: LocalDay, zone: string, law: ResolvedPolicy): readonly number[] {
  const ladder = law.rules.reminderLadder?.value
  if (!ladder) return []
  return [...ladder.days]
    .sort((a, b) => a - b)
    .map(days => addDays(dueOn, days))
    .filter(day => day > countedFrom)
    .map(day => instantOn(day, ladder.at, zone))
}

/** Several duties of one kind are one: the earliest, for all their reasons. */
export function coalesced(obligations: readonly Obligation[]): readonly Obligation[] {
  const byKind = new Map<string, Obligation>()
  for (const obligation of [...obligations].sort(byDueDay)) {
    const key = isOfOneDevice(obligation) ? `${obligation.kind} ${obligation.causeId}` : obligation.kind
    const first = byKind.get(key)
    byKind.set(key, first ? { ...first, because: [...first.because, ...obligation.because] } : obligation)
  }
  return [...byKind.values()].sort(byDueDay)
}

const isOfOneDevice = ({ kind }: Obligation) => kind === 'pick-up' || kind === 'laboratory-result'
const text = ({ dueOn, kind, causeId }: Obligation) => `${dueOn} ${kind} ${causeId}`
const byDueDay = (a: Obligation, b: Obligation) => (text(a) < text(b) ? -1 : text(a) > text(b) ? 1 : 0)
