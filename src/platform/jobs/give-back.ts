import { type Db, sql } from '../db/client.ts'

// What was handed out a moment ago has perhaps not been received yet (see received-jobs.ts).
const unlock = sql(
  'jobs-give-back-under',
  `update graphile_worker._private_jobs set locked_by = null, locked_at = null, attempts = greatest(attempts - 1, 0)
    where key = any($1::text[]) and locked_at < now() - interval '20 seconds' returning id`,
)

/** Has the jobs under these keys handed out again, where they are handed out: for a caller who knows that nobody works them. */
export const giveBackJobs = async (db: Db, keys: readonly string[]): Promise<number> =>
  (await db.rows(unlock, [keys])).length
