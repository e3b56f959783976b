import { setImmediate as nextTurn } from 'node:timers/promises'

/** Work cut into short pieces, so that a long file does not hold up everyone else. */
export type Steps<T> = Generator<undefined, T>

/** Rows read between two pauses; about 5 ms. */
export const ROWS_A_STEP = 4096

/** Does all of it at once. */
export function finished<T>(steps: Steps<T>): T {
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
  }
}

/** Does it piece by piece and lets other requests in between. */
export async function finishedInTurns<T>(steps: Steps<T>, signal?: AbortSignal): Promise<T> {
  for (;;) {
    signal?.throwIfAborted()
    const step = steps.next()
    if (step.done) return step.value
    await nextTurn()
  }
}
