import pg from 'pg'
import { openDatabase, type Tx } from '../../platform/db/client.ts'
import { createLog } from '../../platform/log.ts'
import { quoted } from '../database-tables.ts'
import { migrate, migrationsApplied, migrationsOfProgram } from '../migrate.ts'
import { passTransactions } from '../pass-transactions.ts'
import type { Description } from './description.ts'
import { tablesOfSchema } from './exported-tables.ts'
import { loadExport, refuseFull } from './load-export.ts'
import { openExport, UnfitExport } from './open-export.ts'

type Say = (line: string) => void

export type Imported<T> = { readonly description: Description; readonly settled: T }

/**
 * Reads an export into an empty installation: checks all of it first, then loads it in one transaction.
 * @param settle what else must hold before anything is kept, in that transaction; what it throws undoes all. Of an export
 *   of an earlier level it comes after the migrations, and then all is taken out again.
 */
export async function importExport<T>(
  url: string,
  file: string,
  settle: (tx: Tx, description: Description) => Promise<T>,
  say: Say = () => {},
): Promise<Imported<T>> {
  const opened = await openExport(file, say)
  try {
    const { description } = opened
    const older = await prepare(url, description, say)
    const db = openDatabase({ url, log: createLog('silent'), poolSize: 1, patient: true })
    try {
      const load = (tx: Tx) => loadExport(tx.raw, opened, say)
      const settled = older
        ? await loadedThenRaised(
            url,
            say,
            () => db.transaction(load),
            () => db.transaction(tx => settle(tx, description)),
          )
        : await db.transaction(async tx => {
            await load(tx)
            return settle(tx, description)
          })
      await db.pool.query('analyze')
      return { description, settled }
    } finally {
      await db.close()
    }
  } finally {
    opened.close()
  }
}

/** Brings an empty database to the level of the export. Tells whether that is an earlier one than the program's. */
async function prepare(url: string, description: Description, say: Say): Promise<boolean> {
  const known = await migrationsOfProgram()
  const then = known.filter(({ name }) => description.migrations.includes(name))
  await withClient(url, async client => {
    const beyond = known.filter(migration => !then.includes(migration)).map(({ name }) => name)
    if ((await migrationsApplied(client)).some(name => beyond.includes(name))) {
      await refuseFull(client)
      throw new UnfitExport(
        `The export is of an earlier level (program ${description.version}) than the database is at already. Nothing was ` +
          'changed. Read it into a database without any tables (DATABASE_URL), or a new DATA_DIR: it is brought up there.',
      )
    }
  })
  await migrate(url, say, then)
  await withClient(url, async client => {
    await refuseFull(client)
    await passTransactions(client, BigInt(description.transaction), say)
  })
  return then.length < known.length
}

async function loadedThenRaised<T>(
  url: string,
  say: Say,
  load: () => Promise<void>,
  settle: () => Promise<T>,
): Promise<T> {
  await load()
  try {
    await migrate(url, say)
    return await settle()
  } catch (error) {
    await withClient(url, async client => {
      const all = (await tablesOfSchema(client)).map(({ name }) => `public.${quoted(name)}`)
      await client.query(`truncate ${all.join(', ')} restart identity`)
    })
    throw error
  }
}

async function withClient(url: string, work: (client: pg.Client) => Promise<void>): Promise<void> {
  const client = new pg.Client({ connectionString: url, application_name: 'underslab import' })
  client.on('error', () => {})
  await client.connect()
  await work(client).finally(() => client.end())
}
