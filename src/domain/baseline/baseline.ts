import { dayWords } from '../calendar/day-words.ts'
import type { LocalDay } from '../facts.ts'
import { exact } from '../quantity/exact.ts'
import { exactText } from '../quantity/print-exact.ts'

type Reading = { readonly value: string; readonly unit: string }

/** The reading that later ones of a gauge are held against: read at the start-up, or adopted on a day from when it stood there already. */
export type Baseline = Reading & {
  /** By whom and when it was adopted; null for one that was read at the start-up. */
  readonly adopted: { readonly on: LocalDay; readonly by: string } | null
}

const adoptedWords = ({ on, by }: NonNullable<Baseline['adopted']>): string =>
  `adopted on ${dayWords(on)} ${by === '' ? '(by whom is not known)' : `by ${by}`}, not a start-up reading`

/** `1.2 in. w.c. at the start-up`; `1.2 in. w.c., adopted on 3 March 2026 by Ann Berg, not a start-up reading`. */
export const baselineWords = ({ value, unit, adopted }: Baseline): string =>
  adopted === null ? `${value} ${unit} at the start-up` : `${value} ${unit}, ${adoptedWords(adopted)}`

/** How a later reading differs, exactly; null where the units do: the two are not held together then. */
export function differenceFrom(baseline: Baseline, reading: Reading): string | null {
  if (reading.unit !== baseline.unit) return null
  const difference = exact(reading.value).sub(exact(baseline.value))
  if (difference.n === 0n) return 'the same'
  return `${exactText(difference.abs())} ${reading.unit} ${difference.s < 0n ? 'lower' : 'higher'}`
}

/** `0.9 − 1.2: 0.3 in. w.c. lower than the value adopted on 3 March 2026 by Ann Berg, not a start-up reading`. */
export function againstBaselineWords(baseline: Baseline, reading: Reading): string {
  const difference = differenceFrom(baseline, reading)
  const what = baseline.adopted === null ? 'the start-up value' : `the value ${adoptedWords(baseline.adopted)}`
  if (difference === null) return `in another unit than ${what}: the two are not compared`
  const sum = `${reading.value} against ${baseline.value}`
  return difference === 'the same' ? `the same as ${what}` : `${sum}: ${difference} than ${what}`
}
