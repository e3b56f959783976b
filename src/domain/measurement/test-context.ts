import type { ExposureFacts, Instant, SystemFacts, TestFacts } from '../facts.ts'
import type { ResolvedPolicy } from '../policy/resolved-policy.ts'
import { slotEnd, slotStart } from '../series/slots.ts'
import { intervalsOfTest } from '../series/usable-window.ts'

/** What a test is judged against: the law of its stop day, the home's zone, and the home's systems with their history. */
export type TestContext = {
  readonly policy: ResolvedPolicy
  /** IANA zone of the home. */
  readonly zone: string
  readonly systems: readonly SystemFacts[]
}

export type Period = { readonly from: Instant | null; readonly to: Instant | null }

/** Blanks and spikes check the laboratory; they are no result of the home. */
export const counts = (exposure: ExposureFacts): boolean =>
  exposure.role === 'measurement' || exposure.role === 'duplicate'

/** From when to when a device measured in its place: its record where there is one, else what was noted. */
export function periodOf(exposure: ExposureFacts, test: TestFacts): Period {
  const noted = { from: exposure.startAt ?? test.setAt, to: exposure.stopAt ?? test.pickedUpAt }
  const { series } = exposure
  if (!series || series.values.length === 0) return noted
  const inside = intervalsOfTest(series, { placedFrom: noted.from, placedTo: noted.to })
  return inside ? { from: slotStart(series, inside.first), to: slotEnd(series, inside.last) } : noted
}

export const lengthOf = (period: Period): number | null =>
  period.from === null || period.to === null ? null : period.to - period.from

/** First start and last stop of the devices that count. */
export function periodOfTest(test: TestFacts): Period {
  const periods = test.exposures.filter(counts).map(exposure => periodOf(exposure, test))
  const known = (at: Instant | null): at is Instant => at !== null
  const starts = periods.map(p => p.from).filter(known)
  const stops = periods.map(p => p.to).filter(known)
  return {
    from: starts.length > 0 ? Math.min(...starts) : test.setAt,
    to: stops.length > 0 ? Math.max(...stops) : test.pickedUpAt,
  }
}

/** The systems a test speaks of: the one it names, else all of the home. */
export const systemsOf = (test: TestFacts, context: TestContext): readonly SystemFacts[] =>
  test.systemId === null ? context.systems : context.systems.filter(system => system.id === test.systemId)
