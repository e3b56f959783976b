/** Whether the full size of the fault table runs (`npm run test:long`). */
export const long = process.env.UNDERSLAB_LONG === '1'

/** The size to run at. */
export const size = (small: number, full: number): number => (long ? full : small)

/** Numbers in [0, 1) from a seed (mulberry32), the same in every run. */
export function seeded(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let mixed = Math.imul(state ^ (state >>> 15), state | 1)
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61)
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296
  }
}

/** Prints a fault's figures where the run's log is read. */
export const figures = (row: string, counts: Readonly<Record<string, number | string>>): void =>
  console.log(
    `${row}: ${Object.entries(counts)
      .map(([name, count]) => `${name} ${count}`)
      .join(', ')}`,
  )
