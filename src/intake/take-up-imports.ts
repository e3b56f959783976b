import { alone, namesHeld } from '../platform/db/alone.ts'
import type { Database } from '../platform/db/client.ts'
import type { Deps } from '../platform/deps.ts'
import { giveBackJobs } from '../platform/jobs/give-back.ts'
import { importsCommitting } from './import-queries.ts'

/** The key of the job that writes an import. */
export const writingKey = (importId: string): string => `commit-homes ${importId}`

/** Writes an import that nobody else is writing; gives whether it was free to be written. */
export const writeAlone = (db: Database, importId: string, write: () => Promise<void>): Promise<boolean> =>
  alone(db, writingKey(importId), write)

/** Has every import whose writer is gone written again: a process that was killed gives nothing back to the queue. */
export async function takeUpImports({ db, log }: Pick<Deps, 'db' | 'log'>): Promise<void> {
  const keys = (await importsCommitting(db)).map(({ id }) => writingKey(id))
  if (keys.length === 0) return
  const held = await namesHeld(db, keys)
  const given = await giveBackJobs(
    db,
    keys.filter(key => !held.has(key)),
  )
  if (given > 0) log.warn({ given }, 'imports whose writer is gone are written again')
}
