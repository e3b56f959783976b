import { readdir, readFile } from 'node:fs/promises'
import { join } from 'node:path'
import pg from 'pg'
import { programFolder } from './program-files.ts'
import { noFilters, schemaEngine } from './schema-engine.ts'

export type Migration = { readonly name: string; readonly sql: string }
export type Migrated = { readonly applied: readonly string[]; readonly level: string }

export const schemaFile = join(programFolder, 'prisma', 'schema.prisma')
export const migrationsFolder = join(programFolder, 'prisma', 'migrations')

/** Held while migrating, so that of several processes starting together one works and the others wait. */
export const migrationLock = 7_203_411

export class NewerDatabase extends Error {
  constructor(unknown: readonly string[]) {
    super(
      `The database was made by a newer version of this program: it holds the migration ${unknown.join(', ')}, ` +
        'which this version does not know. Start the newer version, or restore a backup taken before the upgrade.',
    )
  }
}

/** The migrations that come with the program, oldest first. */
export async function migrationsOfProgram(folder = migrationsFolder): Promise<readonly Migration[]> {
  const entries = await readdir(folder, { withFileTypes: true })
  const names = entries.filter(entry => entry.isDirectory()).map(entry => entry.name)
  return Promise.all(
    names.sort().map(async name => ({ name, sql: await readFile(join(folder, name, 'migration.sql'), 'utf8') })),
  )
}

/** Names of the migrations the database has, oldest first; none when it is empty. */
export async function migrationsApplied(db: Pick<pg.Pool, 'query'>): Promise<readonly string[]> {
  const table = await db.query<{ there: boolean }>(`select to_regclass('_prisma_migrations') is not null as there`)
  if (!table.rows[0]?.there) return []
  const applied = await db.query<{ migration_name: string }>(
    `select migration_name from _prisma_migrations
     where finished_at is not null and rolled_back_at is null order by migration_name`,
  )
  return applied.rows.map(row => row.migration_name)
}

/**
 * Brings the database to the level of the program, all pending migrations in one transaction: killed at any point, it
 * leaves the level before or the level after. Refuses a database that is newer than the program.
 * @param say receives one readable line for each step.
 */
export async function migrate(
  url: string,
  say: (line: string) => void = () => {},
  migrations?: readonly Migration[],
): Promise<Migrated> {
  const wanted = migrations ?? (await migrationsOfProgram())
  // One connection only: the engine's statements then run inside the transaction that is opened here.
  const pool = new pg.Pool({ connectionString: url, max: 1, idleTimeoutMillis: 0 })
  pool.on('error', () => {})
  try {
    await pool.query('begin')
    await waitForTurn(pool, say)
    const applied = await migrationsApplied(pool)
    const names = wanted.map(migration => migration.name)
    const unknown = applied.filter(name => !names.includes(name))
    if (unknown.length > 0) throw new NewerDatabase(unknown)
    const pending = wanted.filter(migration => !applied.includes(migration.name))
    if (pending.length > 0) await applyAll(pool, wanted, pending, say)
    await pool.query('commit')
    return { applied: pending.map(migration => migration.name), level: names.at(-1) ?? '' }
  } finally {
    await pool.end()
  }
}

async function waitForTurn(pool: pg.Pool, say: (line: string) => void): Promise<void> {
  const free = await pool.query<{ mine: boolean }>('select pg_try_advisory_xact_lock($1) as mine', [migrationLock])
  if (free.rows[0]?.mine) return
  say('Another process is migrating this database; waiting for it.')
  await pool.query('select pg_advisory_xact_lock($1)', [migrationLock])
}

async function applyAll(
  pool: pg.Pool,
  all: readonly Migration[],
  pending: readonly Migration[],
  say: (line: string) => void,
): Promise<void> {
  let current = ''
  let failure: unknown
  const runScript = async (script: string) => {
    current = pending.find(migration => migration.sql === script)?.name ?? current
    if (current) say(`Applying migration ${current}`)
    await pool.query(script).catch((cause: unknown) => {
      failure ??= cause
      throw cause
    })
  }
  try {
    const engine = await schemaEngine(pool, await readFile(schemaFile, 'utf8'), runScript)
    const { appliedMigrationNames } = await engine.applyMigrations({ migrationsList: listOf(all), filters: noFilters })
    const missed = pending.filter(migration => !appliedMigrationNames.includes(migration.name))
    if (missed.length > 0) throw new Error(`not applied: ${missed.map(migration => migration.name).join(', ')}`)
  } catch (error) {
    // After a failed statement the engine's own bookkeeping fails too and hides the cause.
    throw failedMigration(current, failure ?? error)
  }
}

function failedMigration(name: string, cause: unknown): Error {
  const said = cause instanceof Error ? cause.message : String(cause)
  const where = name ? `Migration ${name} failed` : 'Migrating failed'
  return new Error(
    `${where}: ${said}. Nothing was changed; the database is as before. ` +
      'Put right what the message names and start again, or go back to the earlier version of the program.',
    { cause },
  )
}

function listOf(migrations: readonly Migration[]) {
  return {
    baseDir: migrationsFolder,
    lockfile: { path: 'migration_lock.toml', content: 'provider = "postgresql"\n' },
    shadowDbInitScript: '',
    migrationDirectories: migrations.map(({ name, sql }) => ({
      path: name,
      migrationFile: { path: 'migration.sql', content: { tag: 'ok' as const, value: sql } },
    })),
  }
}
