import { whenDays } from '../calendar/edtf.ts'
import { endOfDay, startOfDay } from '../calendar/local-day.ts'
import type { Instant, SystemEventFacts, SystemFacts, When } from '../facts.ts'

/** The earliest and latest instant a moment can mean. */
type Moment = { readonly earliest: Instant; readonly latest: Instant }

function momentOf(when: When, zone: string): Moment | null {
  if (when.at !== null) return { earliest: when.at, latest: when.at }
  const days = whenDays(when, zone)
  return days && { earliest: startOfDay(days.earliest, zone), latest: endOfDay(days.latest, zone) }
}

const momentsOf = (system: SystemFacts, kinds: readonly SystemEventFacts['kind'][], zone: string): readonly Moment[] =>
  system.events
    .filter(event => kinds.includes(event.kind))
    .flatMap(event => momentOf(event.when, zone) ?? [])
    .sort((a, b) => a.latest - b.latest)

/** When the fan last came on before a test was over; `null` when no start is known. */
export function lastFanStart(systems: readonly SystemFacts[], before: Instant, zone: string): Moment | null {
  const starts = systems.flatMap(system => momentsOf(system, ['first-start', 'on'], zone))
  return (
    starts
      .filter(start => start.earliest < before)
      .sort((a, b) => a.latest - b.latest)
      .at(-1) ?? null
  )
}

/** A time within the period when a system is known to have been off; `null` when none is. */
export function offWithin(
  systems: readonly SystemFacts[],
  from: Instant,
  to: Instant,
  zone: string,
): { readonly from: Instant; readonly to: Instant } | null {
  for (const system of systems) {
    const starts = momentsOf(system, ['first-start', 'on'], zone)
    for (const off of momentsOf(system, ['off'], zone)) {
      const on = starts.find(start => start.earliest > off.latest)
      const until = on ? on.earliest : Number.POSITIVE_INFINITY
      if (off.latest < to && until > from) return { from: Math.max(off.latest, from), to: Math.min(until, to) }
    }
  }
  return null
}
