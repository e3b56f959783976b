import { at, type Db, sql } from '../platform/db/client.ts'

export type ImportProgress = { readonly done: number; readonly total: number; readonly at: number }

const begin = sql(
  'import-progress-begin',
  `insert into import_progress (import_id, done, total, at) values ($1, 0, 0, $2)
   on conflict (import_id) do update set done = 0, total = 0, stop_asked = false, at = excluded.at`,
)
/** Sets an import's count to nothing done. */
export const beginProgress = (db: Db, importId: string, now: number) => db.rows(begin, [importId, at(now)])

const step = sql(
  'import-progress-step',
  `insert into import_progress as p (import_id, done, total, at) values ($1, $2, $3, $4)
   on conflict (import_id) do update set done = excluded.done, total = excluded.total, at = excluded.at
   returning stop_asked as "stopAsked"`,
)
/** Tells how far an import has come, beside its transaction so that others see it; gives whether somebody asked to stop. */
export const stepProgress = async (db: Db, importId: string, done: number, total: number, now: number) =>
  (await db.one<{ stopAsked: boolean }>(step, [importId, done, total, at(now)]))?.stopAsked ?? false

const read = sql('import-progress', 'select done, total, at from import_progress where import_id = $1')
export const readProgress = (db: Db, importId: string) => db.one<ImportProgress>(read, [importId])

const stop = sql('import-progress-stop', 'update import_progress set stop_asked = true where import_id = $1')
/** Asks an import that is being written to stop; it then leaves nothing. */
export const askToStop = (db: Db, importId: string) => db.rows(stop, [importId])

const end = sql('import-progress-end', 'delete from import_progress where import_id = $1')
export const endProgress = (db: Db, importId: string) => db.rows(end, [importId])
