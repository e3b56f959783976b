import { setTimeout as pause } from 'node:timers/promises'

/**
 * Asks again until `check` neither throws nor answers false, and gives what it answered.
 * @throws the last reason when the deadline passes. It is generous: one long transaction of another test on the same
 * server holds back what waits for all older ones, such as the change feed.
 */
export async function eventually<T>(check: () => T | Promise<T>, deadlineMs = 45_000, everyMs = 50): Promise<T> {
  const end = performance.now() + deadlineMs
  for (;;) {
    let reason: unknown
    try {
      const answer = await check()
      if (answer !== false) return answer
      reason = new Error('it stayed false')
    } catch (error) {
      reason = error
    }
    if (performance.now() > end) throw new Error(`Not within ${deadlineMs} ms: ${String(reason)}`, { cause: reason })
    await pause(everyMs)
  }
}
