import pg from 'pg'
import type { Logger } from 'pino'
import { typeParsers } from './type-parsers.ts'
import { CommitUnanswered, isUnavailable, wentSilent } from './unavailable.ts'

/** One SQL text under a name: prepared once a connection, executed by name from then on. */
export type Statement = { readonly name: string; readonly text: string }
export const sql = (name: string, text: string): Statement => ({ name, text })

export type Db = {
  rows<R>(statement: Statement, values?: readonly unknown[]): Promise<R[]>
  one<R>(statement: Statement, values?: readonly unknown[]): Promise<R | null>
}
/** A handle that exists only inside `transaction`: whatever is written through it commits or goes together. */
export type Tx = Db & { readonly tx: true; readonly raw: pg.PoolClient }
export type Database = Db & {
  transaction<T>(work: (tx: Tx) => Promise<T>): Promise<T>
  readonly pool: pg.Pool
  close(): Promise<void>
}

/** An instant inside JSON, where the pool's parsers do not reach: epoch milliseconds. */
export const epochMs = (column: string): string => `(extract(epoch from ${column}) * 1000)::bigint`

/** An instant as a parameter. */
export const at = (ms: number): Date => new Date(ms)

/**
 * Opens the pool. Statements end after 10 s, an idle transaction after 15 s; a connection that is cut while idle is
 * logged and replaced (without a listener it would end the process). `patient` is for an operator's command whose one
 * transaction may take hours: nothing in it ends by time.
 */
export function openDatabase(options: { url: string; log: Logger; poolSize?: number; patient?: true }): Database {
  const pool = new pg.Pool({
    connectionString: options.url,
    max: options.poolSize ?? 10,
    connectionTimeoutMillis: 5_000,
    idleTimeoutMillis: 30_000,
    ...(options.patient ? {} : limits),
    keepAlive: true,
    keepAliveInitialDelayMillis: 10_000,
    types: typeParsers,
    application_name: 'underslab',
  })
  pool.on('error', error => options.log.warn({ err: error }, 'a database connection was lost while idle'))
  // A connection that breaks while it is checked out emits too; the query that was running reports it.
  pool.on('connect', client => client.on('error', () => {}))
  pool.on('release', error => wentSilent(error) && dropIdle(pool))
  return {
    ...handleOn(pool),
    pool,
    transaction: work => inTransaction(pool, work),
    close: () => pool.end(),
  }
}

const limits = { statement_timeout: 10_000, query_timeout: 12_000, idle_in_transaction_session_timeout: 15_000 }

function handleOn(client: pg.Pool | pg.PoolClient): Db {
  const rows = async <R>(statement: Statement, values: readonly unknown[] = []) => {
    const result = await client.query({ name: statement.name, text: statement.text, values: [...values] })
    return result.rows as R[]
  }
  return {
    rows,
    one: async <R>(statement: Statement, values?: readonly unknown[]) => (await rows<R>(statement, values))[0] ?? null,
  }
}

/** Where one connection fell silent, those that idle beside it are dead too: the next request shall not find out. */
function dropIdle(pool: pg.Pool): void {
  for (let n = pool.idleCount; n > 0; n--)
    pool.connect().then(
      client => client.release(true),
      () => {},
    )
}

async function inTransaction<T>(pool: pg.Pool, work: (tx: Tx) => Promise<T>): Promise<T> {
  const client = await pool.connect()
  let broken: Error | undefined
  let committing = false
  try {
    await client.query('begin')
    const result = await work({ ...handleOn(client), tx: true, raw: client })
    committing = true
    await client.query('commit')
    return result
  } catch (error) {
    // A connection that does not answer would not answer a rollback either; closing it is one.
    if (isUnavailable(error)) broken = error
    else
      await client.query('rollback').catch((failure: Error) => {
        broken = failure
      })
    throw committing && broken ? new CommitUnanswered(broken) : error
  } finally {
    client.release(broken)
  }
}
