import type { Writable } from 'node:stream'
import { Logger, runMigrations } from 'graphile-worker'
import pg from 'pg'
import { from as copyFrom } from 'pg-copy-streams'
import { type ArchivedTable, checkedManifest, fingerprintOf, keptUnder, type Manifest, piecesOf } from './archive.ts'
import { copyOut, copySettings, type Keys } from './backup.ts'
import {
  type Definition,
  definitionsAround,
  queueLevelOf,
  quoted,
  type Table,
  tableName,
  tablesOf,
} from './database-tables.ts'
import { type Migration, migrate, migrationsOfProgram, NewerDatabase } from './migrate.ts'
import { passTransactions } from './pass-transactions.ts'
import { type RowDigest, rowDigest } from './row-digest.ts'

type Say = (line: string) => void

/**
 * Restores an archive into an empty database: checks all of it first, then loads everything in one transaction, compares
 * each table with what was archived, and brings the result to the program's level.
 * @param keys the secrets in use; null to accept that links and tokens made with others no longer work.
 */
export async function restoreBackup(
  url: string,
  file: string,
  keys: Keys | null,
  say: Say = () => {},
): Promise<Manifest> {
  say('Checking the archive')
  const manifest = await checkedManifest(file)
  if (keys) refuseOtherKeys(manifest, keys)
  const known = await migrationsOfProgram()
  refuseNewer(manifest, known)
  await refuseFull(url)
  const then = known.filter(migration => manifest.migrations.includes(migration.name))
  await migrate(url, say, then)
  if (manifest.queueLevel !== null) await runMigrations({ connectionString: url, logger: new Logger(() => () => {}) })
  const client = await connect(url)
  try {
    await inOneTransaction(client, () => load(client, file, manifest, say))
    await passTransactions(client, BigInt(manifest.transaction), say)
    await client.query('analyze')
  } finally {
    await client.end()
  }
  await migrate(url, say)
  return manifest
}

function refuseOtherKeys(manifest: Manifest, keys: Keys): void {
  const other = Object.entries(manifest.keys).filter(([name, print]) => fingerprintOf(keys[name] ?? '') !== print)
  if (other.length === 0) return
  throw new Error(
    `The backup was taken with another ${other.map(([name]) => name).join(', ')}. Set what was in use then ` +
      '(it is not part of the backup; without one of your own it is in secrets.json of the old data folder), or restore ' +
      'with --new-keys: links in mails already sent will then not open.',
  )
}

function refuseNewer(manifest: Manifest, known: readonly Migration[]): void {
  const unknown = manifest.migrations.filter(name => !known.some(migration => migration.name === name))
  if (unknown.length > 0) throw new NewerDatabase(unknown)
}

async function refuseFull(url: string): Promise<void> {
  const client = await connect(url)
  try {
    for (const table of await tablesOf(client)) {
      const row = await client.query(`select 1 from ${tableName(table)} limit 1`)
      if (row.rowCount === 0) continue
      const what = table.schema === 'public' ? table.name : 'the job queue'
      throw new Error(
        `The database is not empty: ${what} has rows. Nothing was changed. Restore into a new, empty database ` +
          '(DATABASE_URL), or without one into a new DATA_DIR.',
      )
    }
  } finally {
    await client.end()
  }
}

async function load(client: pg.Client, file: string, manifest: Manifest, say: Say): Promise<void> {
  await client.query(copySettings)
  const around = await definitionsAround(client)
  await runAll(client, [...around.references, ...around.indexes], 'drop')
  const tables = await loadable(client, manifest, say)
  const triggers = (way: 'enable' | 'disable') =>
    tables.map(table => `alter table ${tableName(table)} ${way} trigger user`).join(';')
  await client.query(triggers('disable'))
  await client.query(emptyOurs(await tablesOf(client)))
  const archived = await copyIn(client, file, tables, say)
  for (const sequence of manifest.sequences)
    await client.query('select setval(to_regclass($1), $2, $3)', [tableName(sequence), sequence.last, sequence.called])
  say('Comparing every table with the archive')
  for (const table of tables) {
    const restored = rowDigest()
    const { rows } = await copyOut(client, table, async piece => restored.take(piece))
    if (rows !== table.rows || restored.end() !== (archived.get(table) ?? rowDigest()).end())
      throw new Error(`The table ${table.name} was not restored as it was archived. Nothing was kept.`)
  }
  say('Building indexes and checking references')
  await runAll(client, [...around.indexes, ...around.references], 'create')
  await client.query(triggers('enable'))
  if (manifest.queueLevel !== null) await client.query(releaseJobs)
}

/** What the migrations themselves have put in, such as what a company may begin with, is in the archive as it is now. */
const emptyOurs = (tables: readonly Table[]): string =>
  `truncate ${tables
    .filter(({ schema }) => schema === 'public')
    .map(tableName)
    .join(', ')}`

/** The workers that held jobs when the backup was taken are not here. */
const releaseJobs = `update graphile_worker._private_jobs set locked_at = null, locked_by = null where locked_by is not null;
  update graphile_worker._private_job_queues set locked_at = null, locked_by = null where locked_by is not null`

async function loadable(client: pg.Client, manifest: Manifest, say: Say): Promise<Manifest['tables']> {
  if (manifest.queueLevel === (await queueLevelOf(client))) return manifest.tables
  say('The job queue of the archive is of another version; its jobs are left out and found again by the sweeps.')
  return manifest.tables.filter(table => table.schema === 'public')
}

type Loading = { readonly folder: string; readonly stream: Writable; readonly done: Promise<void> }

/** Copies the archive's rows in, and gives the digest of those of each table. */
async function copyIn(
  client: pg.Client,
  file: string,
  tables: Manifest['tables'],
  say: Say,
): Promise<ReadonlyMap<ArchivedTable, RowDigest>> {
  const digests = new Map(tables.map(table => [table, rowDigest()]))
  const byFolder = new Map(tables.map(table => [keptUnder(table), table]))
  let loading: Loading | null = null
  for await (const { table: folder, content } of piecesOf(file)) {
    const table = byFolder.get(folder)
    if (!table) continue
    if (loading?.folder !== folder) {
      await finish(loading)
      say(`Restoring ${table.name}: ${table.rows} rows`)
      loading = beginLoading(client, folder, table)
    }
    digests.get(table)?.take(content)
    const { stream, done }: Loading = loading
    await Promise.race([new Promise<void>(resolve => stream.write(content, () => resolve())), done])
  }
  await finish(loading)
  return digests
}

function beginLoading(client: pg.Client, folder: string, table: Manifest['tables'][number]): Loading {
  const columns = table.columns.map(quoted).join(', ')
  const stream = client.query(copyFrom(`copy ${tableName(table)} (${columns}) from stdin`))
  const done = new Promise<void>((resolve, reject) => stream.once('finish', resolve).once('error', reject))
  // Awaited by finish(); a failure before that is told by the write that meets it.
  done.catch(() => {})
  return { folder, stream, done }
}

async function finish(loading: Loading | null): Promise<void> {
  loading?.stream.end()
  await loading?.done
}

async function inOneTransaction(client: pg.Client, work: () => Promise<void>): Promise<void> {
  await client.query('begin')
  try {
    await work()
    await client.query('commit')
  } catch (error) {
    await client.query('rollback').catch(() => {})
    throw error
  }
}

async function runAll(client: pg.Client, definitions: readonly Definition[], way: keyof Definition): Promise<void> {
  for (const definition of definitions) await client.query(definition[way])
}

async function connect(url: string): Promise<pg.Client> {
  const client = new pg.Client({ connectionString: url, application_name: 'underslab restore' })
  client.on('error', () => {})
  await client.connect()
  return client
}
