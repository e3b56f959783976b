import type { SeriesFacts } from '../facts.ts'
import { type Exact, exactScaled } from '../quantity/exact.ts'
import { slotEnd, slotStart } from './slots.ts'
import type { Run } from './usable-window.ts'

export type WindowMean = {
  /** In the record's own unit. */
  readonly mean: Exact
  readonly readings: number
  readonly milliseconds: number
}

/** Sums stay below this before they are carried into a big integer, so that each addition is exact. */
const CARRY_AT = 2 ** 52

/** Each reading weighted by the time it stands for, in whole numbers throughout; null without a reading. */
export function windowMean(series: SeriesFacts, runs: readonly Run[]): WindowMean | null {
  let weighted = 0n
  let part = 0
  let milliseconds = 0
  let readings = 0
  for (const run of runs) {
    for (let i = run.first; i <= run.last; i++) {
      const width = slotEnd(series, i) - slotStart(series, i)
      const value = series.values[i] as number
      if (Math.abs(value) * width > CARRY_AT / 2 || Math.abs(part) > CARRY_AT / 2) {
        weighted += BigInt(part) + BigInt(value) * BigInt(width)
        part = 0
      } else part += value * width
      milliseconds += width
      readings++
    }
  }
  if (milliseconds === 0) return null
  const mean = exactScaled(weighted + BigInt(part), series.scale).div(milliseconds)
  return { mean, readings, milliseconds }
}
