/** Some figures of one kind: what they come to and how far they lie apart. */
export type Spread = { readonly median: number; readonly least: number; readonly most: number }

export function spreadOf(figures: readonly number[]): Spread {
  const sorted = [...figures].sort((a, b) => a - b)
  const middle = Math.floor(sorted.length / 2)
  const median = sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2
  return { median, least: sorted[0]!, most: sorted.at(-1)! }
}
