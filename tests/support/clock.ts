export type TestClock = {
  now(): number
  /** Puts the clock to an instant: epoch milliseconds or RFC 3339 text. */
  set(to: number | string): void
  /** Moves it by so many milliseconds; negative moves it back. */
  advance(by: number): void
}

export const hour = 3_600_000
export const day = 24 * hour

/** A clock that stands still until it is told. */
export function aClock(start: number | string = '2026-03-02T15:00:00Z'): TestClock {
  let now = instantOf(start)
  return {
    now: () => now,
    set(to) {
      now = instantOf(to)
    },
    advance(by) {
      now += by
    },
  }
}

const instantOf = (at: number | string): number => {
  const instant = typeof at === 'number' ? at : Date.parse(at)
  if (!Number.isFinite(instant)) throw new Error(`No instant: ${at}`)
  return instant
}
