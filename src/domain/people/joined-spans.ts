import type { LocalDay } from '../facts.ts'

/** A stretch of days from its first one up to, without, its last; null where it has no beginning or no end. */
export type Span = { readonly id: string; readonly fromOn: LocalDay | null; readonly untilOn: LocalDay | null }
export type JoinedSpan = {
  /** The first of those that become one, with the end of the last. */
  readonly kept: Span
  /** Those that it takes the place of. */
  readonly gone: readonly string[]
}

const before = (day: LocalDay | null, end: LocalDay | null): boolean => day === null || end === null || day < end
const beginsLater = (a: Span, b: Span): number =>
  (a.fromOn ?? '') < (b.fromOn ?? '') ? -1 : (a.fromOn ?? '') > (b.fromOn ?? '') ? 1 : a.id < b.id ? -1 : 1
const later = (a: LocalDay | null, b: LocalDay | null): LocalDay | null =>
  a === null || b === null ? null : a < b ? b : a

/** Stretches of one and the same thing: those that overlap or touch become one, and those that nothing else parts. */
export function joinedSpans(
  spans: readonly Span[],
  parted: (from: LocalDay, until: LocalDay) => boolean,
): JoinedSpan[] {
  const joined: { kept: Span; gone: string[] }[] = []
  for (const span of [...spans].sort(beginsLater)) {
    const last = joined.at(-1)
    if (last && follows(last.kept, span, parted)) {
      last.kept = { ...last.kept, untilOn: later(last.kept.untilOn, span.untilOn) }
      last.gone.push(span.id)
    } else joined.push({ kept: span, gone: [] })
  }
  return joined
}

const follows = (a: Span, b: Span, parted: (from: LocalDay, until: LocalDay) => boolean): boolean =>
  a.untilOn === null || b.fromOn === null || b.fromOn <= a.untilOn || !parted(a.untilOn, b.fromOn)

/** What one person owned of a home under two names: one stretch, unless somebody else owned it in between. */
export const joinedOwnerships = (own: readonly Span[], others: readonly Span[]): JoinedSpan[] =>
  joinedSpans(own, (from, until) => others.some(other => before(other.fromOn, until) && before(from, other.untilOn)))

/** A part that one person had under two names: times that nothing is known of stay open. */
export const joinedParts = (own: readonly Span[]): JoinedSpan[] => joinedSpans(own, () => true)
