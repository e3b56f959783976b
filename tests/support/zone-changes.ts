import { DateTime } from 'luxon'

const hour = 3_600_000

/** The instants at which a zone's clocks change, to the minute, as luxon reads the IANA rules. */
export function changesOf(zone: string, from: number, to: number): number[] {
  const offsetAt = (at: number) => DateTime.fromMillis(at, { zone }).offset
  const found: number[] = []
  const step = 24 * hour
  for (let low = from; low < to; low += step) {
    if (offsetAt(low) === offsetAt(low + step)) continue
    let [before, after] = [low, low + step]
    while (after - before > 60_000) {
      const middle = before + Math.floor((after - before) / 120_000) * 60_000
      if (offsetAt(middle) === offsetAt(before)) before = middle
      else after = middle
    }
    found.push(after)
  }
  return found
}
