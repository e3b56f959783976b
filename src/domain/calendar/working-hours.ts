import type { LocalDay } from '../facts.ts'

/** A stretch of a day on the wall's clock: `08:00` to `17:00`; `until` may be `24:00`. */
export type ClockSpan = { readonly from: string; readonly until: string }
/** Seven days, Monday first; several stretches a day, none on a day off. */
export type WorkingWeek = readonly (readonly ClockSpan[])[]
export type Holiday = { readonly day: LocalDay; readonly name: string }
/** What is wrong with the stretches of a day; null when nothing is. */
export function clockSpansFault(spans: readonly ClockSpan[]): string | null {
  const backwards = spans.find(({ from, until }) => until <= from)
  if (backwards) return `${backwards.from} to ${backwards.until} ends before it begins`
  const sorted = [...spans].sort((a, b) => (a.from < b.from ? -1 : 1))
  const overlapping = sorted.find((span, at) => at > 0 && span.from < sorted[at - 1]!.until)
  return overlapping ? `${overlapping.from} lies within the stretch before it` : null
}
