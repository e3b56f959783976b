import { type Spread, spreadOf } from './spread.ts'

/** How much one run of something took or did; only figures of one unit are compared. */
export type Measured = () => Promise<number> | number

/** Milliseconds that some work takes. */
export const tookOf =
  (work: () => unknown): Measured =>
  async () => {
    const begun = performance.now()
    await work()
    return performance.now() - begun
  }

/** Milliseconds of a core that some work takes in this process, whatever else the machine does meanwhile. */
export const coreTimeOf =
  (work: () => unknown): Measured =>
  () => {
    const begun = process.cpuUsage()
    work()
    const { user, system } = process.cpuUsage(begun)
    return (user + system) / 1000
  }

/** The p95 of so many calls one after another, in milliseconds. */
export const p95 =
  (work: (i: number) => Promise<unknown>, times = 60): Measured =>
  async () => {
    const took: number[] = []
    for (let i = 0; i < times; i++) {
      const begun = performance.now()
      await work(i)
      took.push(performance.now() - begun)
    }
    return took.sort((a, b) => a - b)[Math.floor(times * 0.95)]!
  }

/** The milliseconds of some work, without what has to be made ready for it. */
export const after =
  (prepare: () => Promise<unknown>, work: () => unknown): Measured =>
  async () => {
    await prepare()
    return tookOf(work)()
  }

/**
 * Runs all in turn, round after round, each round beginning with another, so that whatever else the machine does falls
 * on all alike. The first round warms and is dropped.
 */
export async function rounds<Name extends string>(
  measured: Readonly<Record<Name, Measured>>,
  count = 5,
): Promise<Record<Name, number[]>> {
  const names = Object.keys(measured) as Name[]
  const figures = Object.fromEntries(names.map(name => [name, [] as number[]])) as Record<Name, number[]>
  for (let round = 0; round <= count; round++) {
    for (let i = 0; i < names.length; i++) {
      const name = names[(i + round) % names.length]!
      const figure = await measured[name]()
      if (round > 0) figures[name].push(figure)
    }
  }
  return figures
}

/** The ratio of two within each round. */
export const ratioOf = (these: readonly number[], those: readonly number[]): Spread =>
  spreadOf(these.map((figure, round) => figure / those[round]!))
