import pg from 'pg'
import { afterEach, expect, it } from 'vitest'
import { migrate, migrationsApplied, migrationsOfProgram, NewerDatabase } from '../../src/ops/migrate.ts'
import { anEmptyDatabase, type TestDatabase } from '../support/database.ts'
import { eventually } from '../support/eventually.ts'

const opened: TestDatabase[] = []
afterEach(() => Promise.all(opened.splice(0).map(database => database.drop())))

async function empty(): Promise<TestDatabase> {
  const database = await anEmptyDatabase()
  opened.push(database)
  return database
}

async function ask<R extends pg.QueryResultRow>(url: string, text: string): Promise<R[]> {
  const client = new pg.Client(url)
  await client.connect()
  return client
    .query<R>(text)
    .then(result => result.rows)
    .finally(() => client.end())
}

const tables = (url: string) => ask(url, `select tablename from pg_tables where schemaname = 'public' order by 1`)

/** Three migrations: a table with many rows; one that fails when it meets its last row; one after it. */
const failing = [
  { name: '1_rows', sql: 'create table reading (n int); insert into reading select generate_series(1, 20000)' },
  { name: '2_divide', sql: 'create table share (n int); insert into share select 1 / (20000 - n) from reading' },
  { name: '3_never', sql: 'create table never (n int)' },
]

it('applies everything to an empty database and nothing to a migrated one', async () => {
  const database = await empty()
  const names = (await migrationsOfProgram()).map(migration => migration.name)
  expect((await migrate(database.url)).applied).toEqual(names)
  expect(await migrate(database.url)).toEqual({ applied: [], level: names.at(-1) })
})

it("keeps Prisma's own table, so that its standard tools go on working", async () => {
  const database = await empty()
  await migrate(database.url)
  const rows = await ask<{ migration_name: string; finished_at: Date; applied_steps_count: number }>(
    database.url,
    'select migration_name, finished_at, applied_steps_count from _prisma_migrations order by 1',
  )
  expect(rows.every(row => row.finished_at !== null && row.applied_steps_count === 1)).toBe(true)
})

it('lets one of five processes that start at once do the work while the others wait', async () => {
  const database = await empty()
  const all = await Promise.all([1, 2, 3, 4, 5].map(() => migrate(database.url)))
  expect(all.filter(({ applied }) => applied.length > 0)).toHaveLength(1)
  const names = (await migrationsOfProgram()).map(migration => migration.name)
  expect([...(await ask<{ n: number }>(database.url, 'select count(*)::int as n from _prisma_migrations'))][0]?.n).toBe(
    names.length,
  )
})

it('leaves the level before when a migration fails on its last row, and names it and a remedy', async () => {
  const database = await empty()
  await migrate(database.url, () => {}, failing.slice(0, 1))
  const before = await tables(database.url)
  await expect(migrate(database.url, () => {}, failing)).rejects.toThrow(
    /Migration 2_divide failed: division by zero.*Nothing was changed.*start again/,
  )
  expect(await tables(database.url)).toEqual(before)
  expect(await ask(database.url, 'select count(*)::int as n from reading')).toEqual([{ n: 20000 }])
})

it('leaves the level before when it is killed in the middle, and completes at the next start', async () => {
  const database = await empty()
  const slow = [failing[0]!, { name: '2_slow', sql: 'create table slow (n int); select pg_sleep(60)' }]
  const killed = migrate(database.url, () => {}, slow)
  killed.catch(() => {})
  const killer = new pg.Client(database.url)
  await killer.connect()
  await eventually(async () => {
    const { rowCount } = await killer.query(
      `select pg_terminate_backend(pid) from pg_stat_activity
       where datname = current_database() and query like '%pg_sleep(60)' and pid <> pg_backend_pid()`,
    )
    return rowCount === 1
  })
  await expect(killed).rejects.toThrow()
  await killer.end()
  expect(await tables(database.url)).toEqual([])
  await migrate(database.url, () => {}, [failing[0]!, { name: '2_slow', sql: 'create table slow (n int)' }])
  const client = new pg.Pool({ connectionString: database.url })
  expect(await migrationsApplied(client)).toEqual(['1_rows', '2_slow'])
  await client.end()
})

it('refuses a database of a newer program and says which migration it does not know', async () => {
  const database = await empty()
  const program = await migrationsOfProgram()
  await migrate(database.url, () => {}, [...program, { name: '29990101000000_later', sql: 'select 1' }])
  await expect(migrate(database.url)).rejects.toThrow(NewerDatabase)
  await expect(migrate(database.url)).rejects.toThrow(/29990101000000_later.*newer version/)
})

it('makes the licence and certificate numbers that stood as lines into rows, none lost and in their order', async () => {
  const database = await empty()
  const all = await migrationsOfProgram()
  const own = all.findIndex(migration => migration.name.endsWith('_company_own_things'))
  await migrate(database.url, undefined, all.slice(0, own))
  await ask(
    database.url,
    `insert into company (name, zone, licence_numbers, updated_at)
       values ('Clearwell', 'UTC', '{MN-RM-0417,"MN, RT 99",MN-3}', '2026-01-05T12:00:00Z');
     insert into staff (id, email, name, roles, credential_numbers, created_at, updated_at)
       values (gen_random_uuid(), 'noor@clearwell.example', 'Noor', '{crew}', '{C-7,C-8}', now(), now()),
              (gen_random_uuid(), 'jo@clearwell.example', 'Jo', '{crew}', '{}', now(), now())`,
  )
  expect((await migrate(database.url)).applied).toContain(all[own]!.name)
  const rows = await ask(
    database.url,
    `select s.name as holder, c.kind, c.number, c.issuer, c.expires_on from credential c
       left join staff s on s.id = c.staff_id order by s.name nulls first, c.created_at, c.id`,
  )
  const unknown = { issuer: '', expires_on: null }
  expect(rows).toEqual([
    ...['MN-RM-0417', 'MN, RT 99', 'MN-3'].map(number => ({ holder: null, kind: 'licence', number, ...unknown })),
    ...['C-7', 'C-8'].map(number => ({ holder: 'Noor', kind: 'certificate', number, ...unknown })),
  ])
  const [{ printed } = { printed: null }] = await ask<{ printed: string[] | null }>(
    database.url,
    `select licences_on('2026-01-05') as printed`,
  )
  expect(printed).toEqual(['MN-RM-0417', 'MN, RT 99', 'MN-3'])
})
