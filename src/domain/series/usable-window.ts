import type { LeftOut } from '../answers.ts'
import type { Instant, SeriesFacts } from '../facts.ts'
import { slotEnd, slotStart } from './slots.ts'

/** A cut at the start of a record that the protocol allows, and until when it reaches. */
export type AllowedDropping = { readonly why: 'equilibrium' | 'closed-building' | 'fan-start'; readonly until: Instant }

export type WindowLimits = {
  /** The device stood in its place from here to there; readings wholly outside are not of this test. */
  readonly placedFrom: Instant | null
  readonly placedTo: Instant | null
  readonly droppings: readonly AllowedDropping[]
  /** Whether only the longest unbroken run counts (short tests), or every reading (long tests). */
  readonly contiguous: boolean
}

export type Run = { readonly first: number; readonly last: number; readonly from: Instant; readonly to: Instant }
export type UsableWindow = {
  /** The runs that count; at most one where only the longest does. */
  readonly runs: readonly Run[]
  readonly from: Instant | null
  readonly to: Instant | null
  readonly leftOut: readonly LeftOut[]
  /** Breaks after the droppings, wherever they lie. */
  readonly gaps: readonly { readonly from: Instant; readonly to: Instant }[]
}

const SECOND_MS = 1000

/** Indices of the first and last interval that belong to the test; null when none does. */
export function intervalsOfTest(
  series: SeriesFacts,
  limits: Pick<WindowLimits, 'placedFrom' | 'placedTo'>,
): { readonly first: number; readonly last: number } | null {
  let first = 0
  let last = series.values.length - 1
  if (limits.placedFrom !== null) while (first <= last && slotEnd(series, first) <= limits.placedFrom) first++
  if (limits.placedTo !== null) while (last >= first && slotStart(series, last) >= limits.placedTo) last--
  return first > last ? null : { first, last }
}

/** An interval that begins a hair before a cut, by jitter or drift, still lies beyond it. */
const graceMs = (series: SeriesFacts): number => Math.min(60, series.intervalS / 10) * SECOND_MS

/**
 * The part of a record that counts: what the allowed droppings leave, and of that the longest unbroken run, the earlier
 * of two equal ones. Everything else is listed with its reason; nothing else is ever cut.
 */
export function usableWindowOf(series: SeriesFacts, limits: WindowLimits): UsableWindow {
  const inside = intervalsOfTest(series, limits)
  if (!inside) return { runs: [], from: null, to: null, leftOut: [], gaps: [] }
  const testFrom = slotStart(series, inside.first)
  const testTo = slotEnd(series, inside.last)
  const leftOut: LeftOut[] = outsidePlacement(series, testFrom, testTo)
  let first = inside.first
  let dropped = testFrom
  for (const dropping of [...limits.droppings].sort((a, b) => a.until - b.until)) {
    while (first <= inside.last && slotStart(series, first) + graceMs(series) < dropping.until) first++
    const to = first <= inside.last ? slotStart(series, first) : testTo
    if (to > dropped) leftOut.push({ from: dropped, to, why: dropping.why })
    dropped = Math.max(dropped, to)
  }
  const { runs, gaps } = runsOf(series, first, inside.last)
  const kept = limits.contiguous ? longestOf(runs) : runs
  leftOut.push(...gaps.map(gap => ({ ...gap, why: 'gap' as const })))
  leftOut.push(
    ...runs
      .filter(run => !kept.includes(run))
      .map(({ from, to }) => ({ from, to, why: 'outside-longest-run' as const })),
  )
  leftOut.sort((a, b) => a.from - b.from)
  return { runs: kept, from: kept[0]?.from ?? null, to: kept.at(-1)?.to ?? null, leftOut, gaps }
}

function outsidePlacement(series: SeriesFacts, testFrom: Instant, testTo: Instant): LeftOut[] {
  const end = slotEnd(series, series.values.length - 1)
  const before: LeftOut[] =
    series.startAt < testFrom ? [{ from: series.startAt, to: testFrom, why: 'not-in-place' }] : []
  return testTo < end ? [...before, { from: testTo, to: end, why: 'not-in-place' }] : before
}

function runsOf(
  series: SeriesFacts,
  first: number,
  last: number,
): { readonly runs: readonly Run[]; readonly gaps: UsableWindow['gaps'] } {
  const runs: Run[] = []
  const gaps: { from: Instant; to: Instant }[] = []
  let start = -1
  let covered = first <= last ? slotStart(series, first) : 0
  const close = (i: number) => {
    if (start >= 0) runs.push({ first: start, last: i, from: slotStart(series, start), to: slotEnd(series, i) })
    start = -1
  }
  for (let i = first; i <= last; i++) {
    const from = slotStart(series, i)
    if (series.values[i] === null || from > covered) close(i - 1)
    if (series.values[i] !== null) {
      if (from > covered) gaps.push({ from: covered, to: from })
      if (start < 0) start = i
      covered = slotEnd(series, i)
    }
  }
  close(last)
  const end = first <= last ? slotEnd(series, last) : covered
  if (covered < end) gaps.push({ from: covered, to: end })
  return { runs, gaps }
}

const longestOf = (runs: readonly Run[]): readonly Run[] => {
  const longest = runs.reduce<Run | null>(
    (best, run) => (best && best.to - best.from >= run.to - run.from ? best : run),
    null,
  )
  return longest ? [longest] : []
}
