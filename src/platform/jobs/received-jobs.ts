import { EventEmitter } from 'node:events'
import type { WorkerEvents } from 'graphile-worker'
import { type Db, sql } from '../db/client.ts'

// The queue's library fetches with a statement that ends after 12 s (platform/db/client), so a job that was locked
// longer ago has been received or never will be. Its public functions unlock a whole worker only, hence its own table;
// the age is by the database's clock, which is what the library wrote.
const giveBack = sql(
  'jobs-give-back',
  `with mine as (
     select id, not id = any($2::bigint[]) and locked_at < now() - interval '20 seconds' as lost
       from graphile_worker._private_jobs where locked_by = $1 for update),
   unlocked as (
     update graphile_worker._private_jobs j set locked_by = null, locked_at = null, attempts = j.attempts - 1
       from mine where mine.id = j.id and mine.lost)
   select id::text, lost from mine`,
)

/**
 * Knows which jobs the workers of this process have received. A job whose fetch the database committed and whose
 * answer was lost on the way would stay locked for hours: nobody works it and nobody else may.
 */
export class ReceivedJobs {
  readonly events: WorkerEvents = new EventEmitter()
  #pool: string | undefined
  #ids = new Set<string>()

  constructor() {
    this.events.on('pool:create', ({ workerPool }) => {
      this.#pool = workerPool.id
    })
    this.events.on('job:start', ({ job }) => this.#ids.add(job.id))
  }

  /** Unlocks what was given out and not received; gives how many. */
  async giveBackLost(db: Db): Promise<number> {
    if (!this.#pool) return 0
    const known = [...this.#ids]
    const locked = await db.rows<{ id: string; lost: boolean }>(giveBack, [this.#pool, known])
    const held = new Set(locked.map(job => job.id))
    for (const id of known) if (!held.has(id)) this.#ids.delete(id)
    return locked.filter(job => job.lost).length
  }
}
