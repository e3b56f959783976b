import type { Span } from '../calendar/working-hours.ts'
import type { Instant } from '../facts.ts'

/** Closed stretches of time, apart from each other and rising. */
export type Intervals = readonly Span[]

export function united(spans: readonly Span[]): Intervals {
  const made: Span[] = []
  for (const span of [...spans].sort((a, b) => a.from - b.from)) {
    const last = made.at(-1)
    if (last && span.from <= last.until)
      made[made.length - 1] = { from: last.from, until: Math.max(last.until, span.until) }
    else made.push(span)
  }
  return made
}

/** What is left of a stretch outside others, in pieces that last. */
export function without(span: Span, taken: readonly Span[]): Intervals {
  let left: Span[] = [span]
  for (const other of taken)
    left = left.flatMap(piece =>
      other.until <= piece.from || other.from >= piece.until
        ? [piece]
        : [
            { from: piece.from, until: Math.min(piece.until, other.from) },
            { from: Math.max(piece.from, other.until), until: piece.until },
          ],
    )
  return left.filter(piece => piece.until > piece.from)
}

/** The first moment from `at` on that lies within; null when none does. */
export function firstFrom(intervals: Intervals, at: Instant): Instant | null {
  const span = intervals.find(({ until }) => until >= at)
  return span ? Math.max(span.from, at) : null
}

/** The last moment up to `at` that lies within. */
export function lastUpTo(intervals: Intervals, at: Instant): Instant | null {
  const span = intervals.findLast(({ from }) => from <= at)
  return span ? Math.min(span.until, at) : null
}

export const holds = (intervals: Intervals, at: Instant): boolean =>
  intervals.some(({ from, until }) => from <= at && at <= until)
