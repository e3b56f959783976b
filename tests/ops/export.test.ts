import { createHash } from 'node:crypto'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { PassThrough } from 'node:stream'
import { setImmediate as nextTurn } from 'node:timers/promises'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { exportedTables, tablesOfSchema } from '../../src/ops/export/exported-tables.ts'
import { isLeftOut, leftOutColumns, leftOutTables, soundSecretOnly } from '../../src/ops/export/left-out.ts'
import { takeExport } from '../../src/ops/export/take-export.ts'
import { eventually } from '../support/eventually.ts'
import { cautionOfTests, exportInto, partsOf, recordsIn } from '../support/exported.ts'
import { aCompanyAtWork } from '../support/exported-company.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

let t: TestApp
let folder: string
let parts: ReadonlyMap<string, Buffer>

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'export-'))
  t = await buildTestApp({ empty: true })
  await aCompanyAtWork(t, 3)
  await exportInto(t.databaseUrl, join(folder, 'whole.zip'), t.clock.now())
  parts = await partsOf(join(folder, 'whole.zip'))
})
afterAll(async () => {
  await t.close()
  await rm(folder, { recursive: true, force: true })
})

const textOf = (path: string): string => parts.get(path)!.toString('utf8')

describe('an export', () => {
  it('holds every table of the schema or names it as left out, and names none that is not there', async () => {
    const tables = await tablesOfSchema(t.db.pool)
    const columns = tables.flatMap(table => table.columns.map(column => `${table.name}.${column.name}`))
    const held = tables.filter(table => parts.has(`ndjson/${table.name}.ndjson`) && parts.has(`csv/${table.name}.csv`))
    const named = tables.filter(table => textOf('README.txt').includes(`\n  ${table.name}\n      `))
    expect([...held, ...named].map(table => table.name).sort()).toEqual(tables.map(table => table.name))
    expect(Object.keys(leftOutTables).filter(name => !tables.some(table => table.name === name))).toEqual([])
    expect(
      [...Object.keys(leftOutColumns), ...Object.keys(soundSecretOnly)].filter(name => !columns.includes(name)),
    ).toEqual([])
  })

  it('leaves out every column that sounds like a secret, or says why it is none', async () => {
    const undecided = (await exportedTables(t.db.pool)).flatMap(table =>
      table.columns
        .filter(({ name }) => /password|secret|token|(^|_)hash$|(^|_)key$/.test(name))
        .map(({ name }) => `${table.name}.${name}`)
        .filter(name => !Object.hasOwn(soundSecretOnly, name)),
    )
    expect(undecided).toEqual([])
    expect(isLeftOut('staff', 'password_hash')).toBe(true)
  })

  it('has no password, session or app secret anywhere in it, not even hashed', async () => {
    const { rows } = await t.db.pool.query<{ secret: string }>(
      `select encode(secret_hash, 'hex') as secret from app_secret union all select encode(id_hash, 'hex') from staff_session
       union all select password_hash from staff where password_hash is not null`,
    )
    expect(rows.length).toBeGreaterThan(5)
    const whole = [...parts.values()].map(bytes => bytes.toString('latin1'))
    expect(rows.filter(({ secret }) => whole.some(text => text.includes(secret)))).toEqual([])
  })

  it('gives instants in UTC with milliseconds, decimals as they were reported and bytes in hexadecimal', () => {
    const exposure = recordsIn(parts, 'exposure').find(({ value }) => value === '4.0')
    expect(exposure).toMatchObject({ value: '4.0', unit: 'pCi/L', stop_at: '2026-02-05T16:00:00.000Z' })
    expect(recordsIn(parts, 'audit')[0]).toMatchObject({ seq: '1', hash: expect.stringMatching(/^[0-9a-f]{64}$/) })
    expect(textOf('ndjson/import_batch.ndjson')).toContain('1234567890.12345678901234567890')
  })

  it('keeps each file under its hash', async () => {
    const files = [...parts].filter(([path]) => path.startsWith('files/'))
    const { rows } = await t.db.pool.query<{ n: number }>('select count(*)::int as n from stored_file')
    expect(files).toHaveLength(rows[0]!.n)
    expect(files.length).toBeGreaterThan(2)
    for (const [path, bytes] of files) expect(path.slice(6, 70)).toBe(createHash('sha256').update(bytes).digest('hex'))
    expect(files.some(([path]) => path.endsWith('.csv'))).toBe(true)
  })

  it('describes each table and column, with types and what they refer to', async () => {
    const dictionary = textOf('dictionary.csv')
    for (const { name, columns } of await exportedTables(t.db.pool))
      for (const column of ['', ...columns.map(one => one.name)]) expect(dictionary).toContain(`\r\n${name},${column},`)
    expect(dictionary).toContain('\r\nexposure,test_id,UUID,no,test.id,')
    expect(dictionary).toContain('What is owed.')
    expect(dictionary.split('\r\n').filter(line => line.endsWith(','))).toEqual([])
  })

  it('says in plain words what is in it, what is left out and what follows, with the caution', () => {
    const readme = textOf('README.txt')
    for (const words of [
      cautionOfTests,
      'staff.password_hash',
      'new invitation',
      'new secret',
      'LINK_KEY',
      'no backup',
    ])
      expect(readme).toContain(words)
  })

  it('has the SHA-256 of every part, as sha256sum reads it', () => {
    const sums = textOf('SHA256SUMS').trimEnd().split('\n')
    expect(sums).toEqual(
      [...parts]
        .filter(([path]) => path !== 'SHA256SUMS')
        .map(([path, bytes]) => `${createHash('sha256').update(bytes).digest('hex')}  ${path}`),
    )
  })
})

describe('its CSV', () => {
  it('is UTF-8 with a byte order mark, CRLF between rows, quotes doubled', () => {
    const bytes = parts.get('csv/customer.csv')!
    expect(bytes.subarray(0, 3)).toEqual(Buffer.from([0xef, 0xbb, 0xbf]))
    expect(textOf('csv/customer.csv')).toContain('"a,""b""\r\nc"')
    expect(textOf('csv/kit.csv').split('\r\n')[0]).toContain('id,device_id,number')
  })

  it('has nothing in it that a spreadsheet would reckon, and leaves numbers below nothing as they are', () => {
    const cells = textOf('csv/customer.csv')
    for (const formula of ["'=1+1", "'+12185550100", "'@SUM(A1)", "'\ttab"]) expect(cells).toContain(formula)
    expect(cells).not.toMatch(/,=1\+1/)
    expect(textOf('csv/test_location.csv')).toMatch(/,Family room,-1,/)
  })

  it('has a row for each record', () => {
    const rows = textOf('csv/audit.csv').trimEnd().split('\r\n')
    expect(rows).toHaveLength(1 + recordsIn(parts, 'audit').length)
  })
})

it('ends what it asks of the database when whoever reads it goes away', async () => {
  const sink = new PassThrough()
  const taken = await takeExport(t.databaseUrl, { now: t.clock.now(), caution: cautionOfTests })
  const written = taken.writeInto(sink)
  const failed = expect(written).rejects.toThrow()
  await nextTurn()
  sink.destroy()
  await failed
  await eventually(async () => {
    const { rows } = await t.db.pool.query(`select 1 from pg_stat_activity where application_name = 'underslab export'
      and datname = current_database()`)
    expect(rows).toEqual([])
  })
})
