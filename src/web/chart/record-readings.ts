import type { Instant, RadonUnit, SeriesFacts } from '../../domain/facts.ts'
import { exact, exactScaled } from '../../domain/quantity/exact.ts'
import { fixedText } from '../../domain/quantity/print-exact.ts'
import { converted } from '../../domain/quantity/radon-unit.ts'

export type Reading = {
  readonly from: Instant
  readonly to: Instant
  /** For drawing; null where the reading is missing. */
  readonly value: number | null
  /** As recorded, every digit. */
  readonly text: string
}

/** The record's intervals in order. */
export function readingsOf({ startAt, intervalS, values, scale, offsetsS }: SeriesFacts): readonly Reading[] {
  return values.map((value, index) => {
    const from = startAt + (index * intervalS + (offsetsS[index] ?? 0)) * 1000
    return {
      from,
      to: from + intervalS * 1000,
      value: value === null ? null : value / 10 ** scale,
      text: value === null ? 'missing' : fixedText(exactScaled(value, scale), scale),
    }
  })
}

/** A level or mean in the record's unit, as a number to draw by. */
export const drawnValue = (value: string, from: RadonUnit, to: RadonUnit): number =>
  converted(exact(value), from, to).valueOf()
