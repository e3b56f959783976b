import { Temporal } from 'temporal-polyfill'
import type { Instant } from '../facts.ts'

type Span = { readonly from: Instant; readonly until: Instant; readonly offsetMs: number }

// The zone's rules are asked once a span, not once a question: due days of many homes fall in few spans.
const spansByZone = new Map<string, Span[]>()
const horizonMs = 180 * 86_400_000

function spanAt(instant: Instant, zone: string): Span {
  const here = Temporal.Instant.fromEpochMilliseconds(instant).toZonedDateTimeISO(zone)
  const before = Temporal.Instant.fromEpochMilliseconds(instant + 1).toZonedDateTimeISO(zone)
  const from = before.getTimeZoneTransition('previous')?.epochMilliseconds ?? Number.NEGATIVE_INFINITY
  // No transition found may only mean that none was looked for so far ahead: the span then ends at a horizon.
  const until = here.getTimeZoneTransition('next')?.epochMilliseconds ?? instant + horizonMs
  return { from: Math.max(from, instant - horizonMs), until, offsetMs: here.offsetNanoseconds / 1e6 }
}

/** Milliseconds that local time in `zone` is ahead of UTC at `instant`. An unknown zone is a RangeError. */
export function offsetAt(instant: Instant, zone: string): number {
  let spans = spansByZone.get(zone)
  if (!spans) {
    spans = []
    spansByZone.set(zone, spans)
  }
  let span = spans.find(known => instant >= known.from && instant < known.until)
  if (!span) {
    span = spanAt(instant, zone)
    spans.push(span)
  }
  return span.offsetMs
}

/** True for an IANA zone name this machine knows. */
export function isZone(zone: string): boolean {
  try {
    offsetAt(0, zone)
    return true
  } catch {
    return false
  }
}
