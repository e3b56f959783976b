/** Where the time comes from: epoch milliseconds, UTC. Passed in, so that a test can set it. */
export type Clock = { now(): number }

export const systemClock = (): Clock => ({ now: () => Date.now() })
