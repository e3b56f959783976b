import { type Database, type Db, sql } from './client.ts'

const take = sql('alone-take', 'select pg_try_advisory_lock(hashtextextended($1, 0)) as held')
const letGo = sql('alone-let-go', 'select pg_advisory_unlock(hashtextextended($1, 0))')

/**
 * Does a piece of work that nobody else does under the same name; gives whether it was done. The name is held by a
 * connection of its own, so that a process that dies lets go of it at that moment.
 */
export async function alone(db: Database, name: string, work: () => Promise<void>): Promise<boolean> {
  const client = await db.pool.connect()
  let intact = true
  try {
    const { rows } = await client.query<{ held: boolean }>({ ...take, values: [name] })
    if (!rows[0]?.held) return false
    try {
      await work()
      return true
    } finally {
      // A connection that is broken has let go already, and must not go back.
      await client.query({ ...letGo, values: [name] }).catch(() => (intact = false))
    }
  } finally {
    client.release(!intact)
  }
}

// A lock's two halves, as the database shows them.
const atWork = sql(
  'alone-at-work',
  `select n as name from unnest($1::text[]) as n where exists (
     select 1 from pg_locks l where l.locktype = 'advisory' and l.granted and l.objsubid = 1
        and l.database = (select oid from pg_database where datname = current_database())
        and ((l.classid::bigint << 32) | l.objid::bigint) = hashtextextended(n, 0))`,
)

/** Which of these names somebody holds now. */
export const namesHeld = async (db: Db, names: readonly string[]): Promise<ReadonlySet<string>> =>
  new Set((await db.rows<{ name: string }>(atWork, [names])).map(({ name }) => name))
