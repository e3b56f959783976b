import { mkdtemp, readdir, readFile, rm, symlink, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import pg from 'pg'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { checkedManifest } from '../../src/ops/archive.ts'
import { writeBackup } from '../../src/ops/backup.ts'
import { migrate, migrationsOfProgram } from '../../src/ops/migrate.ts'
import { restoreBackup } from '../../src/ops/restore.ts'
import { aDatabase, anEmptyDatabase, type TestDatabase } from '../support/database.ts'
import { type PostgresServer, startPostgres } from '../support/postgres.ts'
import { changedTables, databaseDigest } from '../support/reconcile.ts'
import { aCompany, aCustomerRow, anOwnership, aPropertyRow, aSystemRow } from '../support/rows.ts'

const keys = { LINK_KEY: 'the key of this company' }
const now = Date.parse('2026-03-01T08:00:00Z')
/** Written by the migrations that run after loading, or by their own bookkeeping. */
const notData = ['_prisma_migrations']

let source: TestDatabase
let pool: pg.Pool
let folder: string
let elsewhere: PostgresServer
const dropped: TestDatabase[] = []

beforeAll(async () => {
  ;[source, elsewhere] = await Promise.all([aDatabase(), startPostgres('elsewhere')])
  folder = await mkdtemp(join(tmpdir(), 'backup-'))
  pool = new pg.Pool({ connectionString: source.url })
  pool.on('error', () => {})
  await aCompany(pool)
  for (let home = 0; home < 50; home += 1) await aHome()
  await pool.query(
    `insert into stored_file (sha256, bytes, size, media_type, name, created_at)
     select sha256(n::text::bytea), convert_to(repeat(n::text || chr(9) || chr(10) || chr(92), 400000), 'utf8'), 1, 'x/y', 'ü', $1
     from generate_series(1, 6) n`,
    [new Date(now)],
  )
  await pool.query(`select graphile_worker.add_job('some-job', '{"home": 1}')`)
})
afterAll(async () => {
  await pool.end()
  await Promise.all([source, ...dropped].map(database => database.drop()))
  await elsewhere.dispose()
  await rm(folder, { recursive: true, force: true })
})

async function aHome(): Promise<void> {
  const home = await aPropertyRow(pool, { note: 'tab\tnewline\nbackslash\\N "quoted" Žluťoučký' })
  const owner = await aCustomerRow(pool)
  await anOwnership(pool, home, owner)
  await aSystemRow(pool, home)
  await pool.query(
    `insert into audit (at, actor_kind, action, noun, xid) values ($1, 'system', 'create', 'property', pg_current_xact_id())`,
    [new Date(now)],
  )
}

async function emptyDatabase(): Promise<TestDatabase> {
  const database = await anEmptyDatabase()
  dropped.push(database)
  return database
}

/** An empty database of another user on another server and port. */
async function strangersDatabase(): Promise<string> {
  const admin = new pg.Client(elsewhere.url('postgres'))
  await admin.connect()
  await admin.query(`create role stranger login password 'p' ; `)
  await admin.query('create database restored owner stranger')
  await admin.end()
  return elsewhere.url('restored').replace(/\/\/[^@]+@/, '//stranger:p@')
}

const digestOf = async (url: string) => {
  const client = new pg.Pool({ connectionString: url })
  return databaseDigest(client, notData).finally(() => client.end())
}

it('restores on another server, port and user, every table row for row', async () => {
  const file = join(folder, 'whole.tar')
  const manifest = await writeBackup(source.url, file, keys, now)
  const target = await strangersDatabase()
  await restoreBackup(target, file, keys)
  expect(manifest.tables.find(table => table.name === 'property')?.rows).toBe(50)
  expect(changedTables(await digestOf(source.url), await digestOf(target))).toEqual([])
  const client = new pg.Client(target)
  await client.connect()
  const jobs = await client.query('select task_identifier from graphile_worker.jobs')
  expect(jobs.rows).toEqual([{ task_identifier: 'some-job' }])
  const order = await client.query<{ later: boolean }>(
    'select pg_current_xact_id() > (select xid from audit order by xid desc limit 1) as later',
  )
  expect(order.rows[0]?.later).toBe(true)
  await client.query(
    `insert into audit (at, actor_kind, action, noun, xid) values ($1, 'system', 'create', 'property', pg_current_xact_id())`,
    [new Date(now)],
  )
  const last = await client.query<{ seq: number }>('select max(seq)::int as seq, count(*)::int as n from audit')
  expect(last.rows[0]).toEqual({ seq: 51, n: 51 })
  await client.end()
})

it('restores rows of lengths so different that they do not come to lie as they did', async () => {
  const note = `(select string_agg(md5(n || ' ' || k), '') from generate_series(1, 1 + (n * 7919) % 60) k)`
  await pool.query(
    `insert into property (id, street, city, country, zone, jurisdiction, note, created_at, updated_at)
     select gen_random_uuid(), n::text, 'Duluth', 'US', 'America/Chicago', 'US', ${note}, $1, $1 from generate_series(1, 3000) n`,
    [new Date(now)],
  )
  const file = join(folder, 'lengths.tar')
  await writeBackup(source.url, file, keys, now)
  const target = await emptyDatabase()
  await restoreBackup(target.url, file, keys)
  expect(changedTables(await digestOf(source.url), await digestOf(target.url))).toEqual([])
  await pool.query(`delete from property where length(street) < 5 and street ~ '^[0-9]+$'`)
})

it('has the indexes, references and triggers of a migrated database after restoring', async () => {
  const file = join(folder, 'same.tar')
  await writeBackup(source.url, file, keys, now)
  const target = await emptyDatabase()
  await restoreBackup(target.url, file, keys)
  expect(await shapeOf(target.url)).toEqual(await shapeOf(source.url))
})

it('takes the state of one instant while others write', async () => {
  const file = join(folder, 'busy.tar.gz')
  let writing = true
  const writers = Promise.all(
    [1, 2, 3].map(async () => {
      while (writing) await aHome()
    }),
  )
  const manifest = await writeBackup(source.url, file, keys, now)
  writing = false
  await writers
  const target = await emptyDatabase()
  await restoreBackup(target.url, file, keys)
  const count = (name: string) => manifest.tables.find(table => table.name === name)!.rows
  // A home, its owner's deed and its system are three statements: an instant may lie between them, a lost row may not.
  expect(count('property') - count('system')).toBeLessThanOrEqual(3)
  expect(count('ownership')).toBeLessThanOrEqual(count('property'))
  expect(count('property')).toBeGreaterThanOrEqual(50)
})

it('leaves no file under the name when it fails', async () => {
  const file = join(folder, 'failed.tar')
  const gone = source.url.replace(/[^/]+$/, 'no_such_database')
  await expect(writeBackup(gone, file, keys, now)).rejects.toThrow('does not exist')
  // A disk that is full: every write to this device says so.
  await symlink('/dev/full', `${file}.unfinished`)
  await expect(writeBackup(source.url, file, keys, now)).rejects.toThrow('no space left')
  expect((await readdir(folder)).filter(name => name.startsWith('failed'))).toEqual([])
})

it.each([
  ['the last byte of the manifest', (bytes: Buffer) => bytes.subarray(0, bytes.length - 1600)],
  ['its second half', (bytes: Buffer) => bytes.subarray(0, bytes.length / 2)],
  ['everything', () => Buffer.alloc(0)],
])('refuses an archive that has lost %s, and touches nothing', async (_, cut) => {
  const whole = join(folder, 'to-cut.tar')
  await writeBackup(source.url, whole, keys, now)
  const file = join(folder, 'cut.tar')
  await writeFile(file, cut(await readFile(whole)))
  const target = await emptyDatabase()
  await expect(restoreBackup(target.url, file, keys)).rejects.toThrow('cut.tar')
  expect(await digestOf(target.url)).toEqual({})
})

it('refuses an archive in which one letter of a row has changed', async () => {
  const file = join(folder, 'changed.tar')
  await writeBackup(source.url, file, keys, now)
  const bytes = await readFile(file)
  bytes.write('X', bytes.indexOf('Clearwell'))
  await writeFile(file, bytes)
  const target = await emptyDatabase()
  await expect(restoreBackup(target.url, file, keys)).rejects.toThrow('the table company is not as it was written')
  expect(await digestOf(target.url)).toEqual({})
})

it('refuses another key by name, and takes it when told to', async () => {
  const file = join(folder, 'key.tar')
  await writeBackup(source.url, file, keys, now)
  const target = await emptyDatabase()
  await expect(restoreBackup(target.url, file, { LINK_KEY: 'another' })).rejects.toThrow('another LINK_KEY')
  expect(await digestOf(target.url)).toEqual({})
  await restoreBackup(target.url, file, null)
  expect(changedTables(await digestOf(source.url), await digestOf(target.url))).toEqual([])
})

it('keeps no secret in the archive', async () => {
  const file = join(folder, 'secrets.tar')
  await writeBackup(source.url, file, keys, now)
  expect((await readFile(file)).includes(keys.LINK_KEY)).toBe(false)
})

it('refuses the archive of a newer program', async () => {
  const newer = await emptyDatabase()
  await migrate(newer.url, () => {}, [
    ...(await migrationsOfProgram()),
    { name: '29990101000000_later', sql: 'select 1' },
  ])
  const file = join(folder, 'newer.tar')
  await writeBackup(newer.url, file, keys, now)
  const target = await emptyDatabase()
  await expect(restoreBackup(target.url, file, keys)).rejects.toThrow('29990101000000_later')
})

it('refuses a database that holds something', async () => {
  const file = join(folder, 'full.tar')
  await writeBackup(source.url, file, keys, now)
  const before = await digestOf(source.url)
  await expect(restoreBackup(source.url, file, keys)).rejects.toThrow('not empty')
  expect(changedTables(before, await digestOf(source.url))).toEqual([])
})

it('states what it holds', async () => {
  const file = join(folder, 'stated.tar')
  const written = await writeBackup(source.url, file, keys, now)
  expect(await checkedManifest(file)).toEqual(written)
  expect(written.takenAt).toBe('2026-03-01T08:00:00.000Z')
})

async function shapeOf(url: string): Promise<unknown[]> {
  const client = new pg.Client(url)
  await client.connect()
  const { rows } = await client.query(
    `select indexname as name, indexdef as shape from pg_indexes where schemaname in ('public', 'graphile_worker')
     union all select conname, conrelid::regclass || ' ' || pg_get_constraintdef(oid) from pg_constraint where contype = 'f'
     union all select tgname, tgrelid::regclass || ' ' || tgenabled::text from pg_trigger where not tgisinternal
     order by 1, 2`,
  )
  await client.end()
  return rows
}
