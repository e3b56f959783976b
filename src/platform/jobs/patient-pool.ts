import { setTimeout as pause } from 'node:timers/promises'
import type pg from 'pg'
import { isUnavailable } from '../db/unavailable.ts'

/** The queue's library tries again after an error with this code, and lets most others end the process. */
const triedAgain = 'ETIMEDOUT'
const betweenTries = 2_000

/**
 * The pool as the queue's library is to see it. What it asks for while the database is away is waited for, and what
 * breaks on the way bears a code it tries again after: the end of a job must be written, however long that takes.
 */
export function patientPool(pool: pg.Pool): pg.Pool {
  const connect = async (): Promise<pg.PoolClient> => {
    for (;;) {
      try {
        return lent(await pool.connect())
      } catch (error) {
        if (!isUnavailable(error)) throw error
        // Nothing is given out any more, and whoever asked is on its way out too.
        if (pool.ending) return new Promise(() => {})
        await pause(betweenTries, undefined, { ref: false })
      }
    }
  }
  const asked = (told?: Parameters<pg.Pool['connect']>[0]) => (told ? pool.connect(told) : connect())
  return Object.create(pool, { connect: { value: asked } })
}

/** The library gives a connection back without saying that it failed; a dead one must not be lent again. */
function lent(client: pg.PoolClient): pg.PoolClient {
  let failure: Error | undefined
  const query = (text: never, values: never) =>
    client.query(text, values).catch((error: unknown) => {
      if (!isUnavailable(error)) throw error
      failure = error
      throw Object.assign(new Error(error.message, { cause: error }), { code: triedAgain })
    })
  return Object.create(client, { query: { value: query }, release: { value: () => client.release(failure) } })
}
