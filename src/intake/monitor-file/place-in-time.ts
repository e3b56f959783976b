import type { Reading } from './reading.ts'

export type FileOrder = 'rising' | 'falling' | 'mixed'

/** Each row's instant, `null` where it is left out; or what stands in the way. */
export type Placed = {
  readonly instants: Float64Array
  readonly leftOut: number
  /** Rows in the repeated hour that nothing tells apart: a person must say. */
  readonly unsettled: readonly number[]
  /** Rows at a wall time that the zone's clock skips. */
  readonly skipped: readonly number[]
}

/** The order of the rows, judged where each wall time means one instant. */
export function orderOf(count: number, only: (i: number) => number | null): FileOrder {
  let ups = 0
  let downs = 0
  let last: number | null = null
  for (let i = 0; i < count; i++) {
    const at = only(i)
    if (at === null) continue
    if (last !== null && at > last) ups++
    if (last !== null && at < last) downs++
    last = at
  }
  return downs === 0 ? 'rising' : ups === 0 ? 'falling' : 'mixed'
}

/**
 * Settles the hour that autumn repeats. In ordered rows the wall clock falls back once, and that is the seam; where it
 * does not fall back, the neighbours tell which pass is there, and when they do not, nobody can.
 */
export function placeInTime(
  count: number,
  wallOf: (i: number) => number,
  instantsOf: (wallMs: number) => readonly number[],
  repeatedHour: Reading['repeatedHour'],
): Placed {
  const instants = new Float64Array(count).fill(Number.NaN)
  const skipped: number[] = []
  const twice: number[] = []
  const candidates = new Map<number, readonly [number, number]>()
  for (let i = 0; i < count; i++) {
    const found = instantsOf(wallOf(i))
    if (found.length === 0) skipped.push(i)
    else if (found.length === 1) instants[i] = found[0]!
    else {
      twice.push(i)
      candidates.set(i, [found[0]!, found[1]!])
    }
  }
  if (twice.length === 0) return { instants, leftOut: 0, unsettled: [], skipped }
  if (repeatedHour === 'leave-out') return { instants, leftOut: twice.length, unsettled: [], skipped }
  const order = orderOf(count, i => (Number.isNaN(instants[i]) ? null : instants[i]!))
  if (order === 'mixed' || repeatedHour === 'file-order') {
    if (repeatedHour !== 'file-order') return { instants, leftOut: 0, unsettled: twice, skipped }
    placeByOccurrence(twice, wallOf, candidates, instants, order === 'falling')
    return { instants, leftOut: 0, unsettled: [], skipped }
  }
  const rising = order === 'rising' ? twice : [...twice].reverse()
  const step = order === 'rising' ? 1 : -1
  const usualMs = usualStep(instants)
  const settles = (block: readonly number[]) => placeBlock(block, step, candidates, instants, usualMs)
  const unsettled = blocksOf(rising, step)
    .filter(block => !settles(block))
    .flat()
  return { instants, leftOut: 0, unsettled, skipped }
}

/** The first row of a wall time is the first pass, the second the second. */
function placeByOccurrence(
  rows: readonly number[],
  wallOf: (i: number) => number,
  candidates: ReadonlyMap<number, readonly [number, number]>,
  instants: Float64Array,
  newestFirst: boolean,
) {
  const seen = new Map<number, number>()
  for (const i of newestFirst ? [...rows].reverse() : rows) {
    const before = seen.get(wallOf(i)) ?? 0
    seen.set(wallOf(i), before + 1)
    instants[i] = candidates.get(i)![before === 0 ? 0 : 1]
  }
}

/** Rows next to each other in the file make one block: one autumn. */
function blocksOf(rows: readonly number[], step: 1 | -1): readonly (readonly number[])[] {
  const blocks: number[][] = []
  for (const i of rows) {
    const block = blocks.at(-1)
    if (block && block.at(-1)! + step === i) block.push(i)
    else blocks.push([i])
  }
  return blocks
}

/** A pass counts as told when its steps fit better than the next best by this much. */
const MARGIN_MS = 30 * 60_000

/**
 * Gives a block its instants: the first pass up to a seam, the second from there on, with the seam where the steps come
 * nearest to the record's usual step. False when two seams fit equally well.
 */
function placeBlock(
  block: readonly number[],
  step: 1 | -1,
  candidates: ReadonlyMap<number, readonly [number, number]>,
  instants: Float64Array,
  usualMs: number,
): boolean {
  const before = instants[block[0]! - step] ?? Number.NaN
  const after = instants[block.at(-1)! + step] ?? Number.NaN
  const withSeam = (seam: number) => block.map((i, n) => candidates.get(i)![n < seam ? 0 : 1])
  const misfit = (at: readonly number[]): number => {
    const run = [before, ...at, after].filter(instant => !Number.isNaN(instant))
    let sum = 0
    for (let n = 1; n < run.length; n++) {
      const gap = run[n]! - run[n - 1]!
      if (gap < 0) return Number.POSITIVE_INFINITY
      sum += Math.abs(gap - usualMs)
    }
    return sum
  }
  const tried = Array.from({ length: block.length + 1 }, (_, seam) => ({ seam, misfit: misfit(withSeam(seam)) }))
  const [best, next] = tried.sort((a, b) => a.misfit - b.misfit)
  if (next!.misfit - best!.misfit < Math.min(MARGIN_MS, usualMs / 4)) return false
  const at = withSeam(best!.seam)
  block.forEach((i, n) => {
    instants[i] = at[n]!
  })
  return true
}

/** The median step between neighbours whose instants are certain. */
function usualStep(instants: Float64Array): number {
  const gaps: number[] = []
  for (let i = 1; i < instants.length && gaps.length < 2000; i++) {
    const gap = Math.abs(instants[i]! - instants[i - 1]!)
    if (gap > 0) gaps.push(gap)
  }
  return gaps.sort((a, b) => a - b)[gaps.length >> 1] ?? 3_600_000
}
