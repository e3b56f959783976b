import { type Moment, momentOf } from '../calendar/edtf.ts'
import type { Instant, SystemEventFacts, SystemFacts } from '../facts.ts'

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

/** Whether a system cannot have run before an instant: its first start came later, or we built it and have not started it. */
export function notYetStarted(system: SystemFacts, before: Instant, zone: string): boolean {
  const begins = system.events.filter(event => event.kind === 'first-start' || event.kind === 'on')
  if (begins.length === 0) return system.active && system.installedBy === 'us'
  return begins.every(event => (momentOf(event.when, zone)?.earliest ?? Number.NEGATIVE_INFINITY) >= before)
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
