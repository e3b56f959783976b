import type { Span } from '../calendar/working-hours.ts'
import type { Instant } from '../facts.ts'

const lengthOf = ({ from, until }: Span) => until - from

/** When work of `ms` is done that begins at `at` or at the next opening; null when the stretches end before. */
export function doneAfter(spans: readonly Span[], at: Instant, ms: number): Instant | null {
  let left = ms
  for (const span of spans) {
    if (span.until < at) continue
    const from = Math.max(span.from, at)
    if (span.until - from >= left) return from + left
    left -= span.until - from
  }
  return null
}

/** The last moment from which work of `ms` is still done by `at`; null when the stretches do not reach back so far. */
export function begunBefore(spans: readonly Span[], at: Instant, ms: number): Instant | null {
  let left = ms
  for (const span of spans.toReversed()) {
    if (span.from > at) continue
    const until = Math.min(span.until, at)
    if (until - span.from >= left) return until - left
    left -= until - span.from
  }
  return null
}

/** When work of `ms` can end that is begun and done within these stretches of one day, breaks between them skipped. */
export function endsWithin(stretches: readonly Span[], ms: number): readonly Span[] {
  const ends: Span[] = []
  let worked = 0
  for (const span of stretches) {
    const least = Math.max(0, ms - worked)
    if (least <= lengthOf(span)) ends.push({ from: span.from + least, until: span.until })
    worked += lengthOf(span)
  }
  return ends
}
