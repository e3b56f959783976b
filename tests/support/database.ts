import { randomBytes } from 'node:crypto'
import pg from 'pg'
import { inject } from 'vitest'
import { type Database, openDatabase } from '../../src/platform/db/client.ts'
import { aLog } from './log.ts'

const templateName = 'underslab_template'

export type TestDatabase = { readonly url: string; readonly name: string; drop(): Promise<void> }

/** A freshly migrated, empty database: a clone of the run's template (about 50 ms). Drop it when done. */
export async function aDatabase(): Promise<TestDatabase> {
  const name = `t_${randomBytes(6).toString('hex')}`
  const url = new URL(inject('databaseServer'))
  url.pathname = `/${name}`
  // file_copy: the run's server does not sync, so copying files beats writing them through the log.
  await asAdmin(`create database ${name} template ${templateName} strategy file_copy`)
  return { url: url.href, name, drop: () => asAdmin(`drop database if exists ${name} with (force)`) }
}

/** An empty database without any schema, for tests of migrating itself. */
export async function anEmptyDatabase(): Promise<TestDatabase> {
  const name = `t_${randomBytes(6).toString('hex')}`
  const url = new URL(inject('databaseServer'))
  url.pathname = `/${name}`
  await asAdmin(`create database ${name} template template0`)
  return { url: url.href, name, drop: () => asAdmin(`drop database if exists ${name} with (force)`) }
}

/** A clone with the product's own handle on it, for tests of verbs and queries. `close` drops it too. */
export async function anOpenDatabase(poolSize = 5): Promise<{
  readonly db: Database
  readonly url: string
  close(): Promise<void>
}> {
  const { url, drop } = await aDatabase()
  const db = openDatabase({ url, log: aLog('silent').log, poolSize })
  return {
    db,
    url,
    async close() {
      await db.close()
      await drop()
    },
  }
}

async function asAdmin(statement: string): Promise<void> {
  const admin = new pg.Client({ connectionString: inject('databaseServer') })
  await admin.connect()
  try {
    await admin.query(statement)
  } finally {
    await admin.end()
  }
}
