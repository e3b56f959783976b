import { createHash } from 'node:crypto'
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { verifyAuditChain } from '../../src/features/changes/seal-audit.ts'
import { migrate, migrationsApplied, migrationsOfProgram } from '../../src/ops/migrate.ts'
import { openDatabase } from '../../src/platform/db/client.ts'
import { readStanding } from '../../src/standing/read-standing.ts'
import { aDatabase, anEmptyDatabase, type TestDatabase } from '../support/database.ts'
import { exportInto, importFrom, packed, partsOf } from '../support/exported.ts'
import { aCompanyAtWork } from '../support/exported-company.ts'
import { aLog } from '../support/log.ts'
import { aMailedHome } from '../support/mailed-home.ts'
import { changedTables, databaseDigest } from '../support/reconcile.ts'
import { aStaffMember } from '../support/rows.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aWholeHome } from '../support/world.ts'

let t: TestApp
let folder: string
let whole: string
let parts: ReadonlyMap<string, Buffer>
const made: TestDatabase[] = []

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'import-'))
  t = await buildTestApp({ empty: true })
  await aCompanyAtWork(t, 25)
  whole = join(folder, 'whole.zip')
  await exportInto(t.databaseUrl, whole, t.clock.now())
  parts = await partsOf(whole)
})
afterAll(async () => {
  await t.close()
  await Promise.all(made.map(database => database.drop()))
  await rm(folder, { recursive: true, force: true })
})

const kept = async (make: () => Promise<TestDatabase>): Promise<string> => {
  const database = await make()
  made.push(database)
  return database.url
}
const withDatabase = async <T>(url: string, work: (db: ReturnType<typeof openDatabase>) => Promise<T>): Promise<T> => {
  const db = openDatabase({ url, log: aLog('silent').log, poolSize: 2 })
  return work(db).finally(() => db.close())
}
const ask = (url: string, text: string) =>
  withDatabase(url, async db => (await db.pool.query<Record<string, unknown>>(text)).rows)

/** The archive with some parts other than they were; its sums are made to fit unless told otherwise. */
async function altered(name: string, changes: Record<string, Buffer | null>, fit = true): Promise<string> {
  const other = new Map(parts)
  for (const [path, bytes] of Object.entries(changes)) bytes ? other.set(path, bytes) : other.delete(path)
  if (fit) {
    const sum = (bytes: Buffer) => createHash('sha256').update(bytes).digest('hex')
    const sums = [...other].filter(([path]) => path !== 'SHA256SUMS').map(([path, bytes]) => `${sum(bytes)}  ${path}\n`)
    other.set('SHA256SUMS', Buffer.from(sums.join('')))
  }
  const file = join(folder, `${name}.zip`)
  await packed(file, other)
  return file
}
const replaced = (path: string, from: string | RegExp, to: string): Buffer => {
  const text = parts.get(path)!.toString('utf8')
  expect(text).toMatch(from)
  return Buffer.from(text.replace(from, to))
}

describe('an export that is read into an empty installation', () => {
  let url: string

  beforeAll(async () => {
    url = await kept(aDatabase)
  })

  it('gives the same export again, to the byte, and the audit log goes on from where it was', async () => {
    const { settled } = await importFrom(url, whole, t.clock.now())
    expect(settled.standings.unequal).toEqual([])
    expect(settled.standings.equal).toBeGreaterThan(40)
    const again = join(folder, 'again.zip')
    await exportInto(url, again, t.clock.now())
    const after = await partsOf(again)
    const data = (path: string) => /^(csv|ndjson|files)\/|^dictionary/.test(path)
    expect([...after.keys()]).toEqual([...parts.keys()])
    const differ = [...parts.keys()].filter(path => data(path) && !after.get(path)!.equals(parts.get(path)!))
    // An import that was under way is proposed again: nobody is writing it here.
    const expected = ['audit', 'import_batch'].flatMap(table => [`ndjson/${table}.ndjson`, `csv/${table}.csv`])
    expect(differ).toEqual(expected)
    const audit = parts.get('ndjson/audit.ndjson')!
    expect(after.get('ndjson/audit.ndjson')!.subarray(0, audit.length).equals(audit)).toBe(true)
    expect(after.get('ndjson/audit.ndjson')!.subarray(audit.length).toString()).toMatch(/"action":"import"[^\n]*\n$/)
  })

  it('has every home’s standing as it was, also as read by a page', async () => {
    const homes = await ask(url, 'select property_id::text as id from standing')
    expect(homes.length).toBeGreaterThan(40)
    await withDatabase(url, async db => {
      for (const { id } of homes)
        expect(await readStanding(db, String(id))).toEqual(await readStanding(t.db, String(id)))
    })
  })

  it('finds homes by what is known of them, as before', async () => {
    const phrases = 'select property_id, kind, source_id, phrase, shown from search_phrase order by 1, 2, 3'
    const words = 'select property_id, words from search_home order by 1'
    for (const all of [phrases, words]) expect(await ask(url, all)).toEqual(await ask(t.databaseUrl, all))
  })

  it('has the audit log in an unbroken chain, and later lines come after it', async () => {
    await withDatabase(url, async db => expect(await verifyAuditChain(db)).toMatchObject({ whole: true, unsealed: 1 }))
    expect(
      await ask(
        url,
        `select bool_and(n.xid > a.xid and n.seq > a.seq) as later from audit n, audit a
        where n.action = 'import' and a.action <> 'import'`,
      ),
    ).toEqual([{ later: true }])
  })

  it('goes on counting where the other installation was', async () => {
    const next = `select nextval(pg_get_serial_sequence('callback', 'number'))::int as number`
    expect(await ask(url, next)).toEqual(await ask(t.databaseUrl, next))
  })

  it('lets nobody in with an old password, gives owners a link to choose one, and begins the feed anew', async () => {
    expect(await ask(url, 'select 1 from staff where password_hash is not null')).toEqual([])
    expect(await ask(url, 'select purpose from staff_token')).toEqual([{ purpose: 'setup' }])
    expect(await ask(url, 'select 1 from app_secret union all select 1 from change')).toEqual([])
    expect(await ask(url, 'select 1 from app')).toHaveLength(1)
  })

  it('has the indexes, references and triggers of a database that was only migrated', async () => {
    const shape = `select indexdef as part from pg_indexes where schemaname = 'public'
      union all select conrelid::regclass || ' ' || pg_get_constraintdef(oid) from pg_constraint where connamespace = 'public'::regnamespace
      union all select tgname || ' ' || tgenabled::text from pg_trigger where not tgisinternal order by 1`
    expect(await ask(url, shape)).toEqual(await ask(await kept(aDatabase), shape))
  })
})

describe('mails of an installation that was read in', () => {
  it('go out neither again nor by themselves: what was sent stays sent, what waited is held, reminders are paused', async () => {
    const source = await buildTestApp()
    try {
      const [program, office] = [await source.as.app(), await source.as.office()]
      await aMailedHome(source, program, office, await aWholeHome(program, 'Alder'), 'Alder')
      await source.runJobs()
      await aMailedHome(source, program, office, await aWholeHome(program, 'Birch'), 'Birch')
      const file = join(folder, 'mails.zip')
      await exportInto(source.databaseUrl, file, source.clock.now())
      const url = await kept(aDatabase)
      const { settled } = await importFrom(url, file, source.clock.now())
      expect(settled.held).toBe(1)
      const there = await buildTestApp({ databaseUrl: url, at: source.clock.now() + 60_000 })
      try {
        await there.runJobs()
        expect(there.mailbox.ledger).toEqual([])
        const states = 'select to_address, state from mail order by to_address'
        expect(await ask(url, states)).toEqual([
          { to_address: 'alder@home.example', state: 'sent' },
          { to_address: 'birch@home.example', state: 'held' },
        ])
        expect(await ask(url, 'select reminders_released_at from company')).toEqual([{ reminders_released_at: null }])
      } finally {
        await there.close()
      }
    } finally {
      await source.close()
    }
  })
})

describe('an export is refused, with nothing changed,', () => {
  let url: string
  let before: Record<string, string>

  beforeAll(async () => {
    url = await kept(aDatabase)
    before = await withDatabase(url, db => databaseDigest(db.pool))
  })

  async function refused(file: string, why: RegExp): Promise<void> {
    await expect(importFrom(url, file, t.clock.now())).rejects.toThrow(why)
    expect(changedTables(before, await withDatabase(url, db => databaseDigest(db.pool)))).toEqual([])
  }

  it('where somebody has been added already', async () => {
    const used = await kept(aDatabase)
    await withDatabase(used, db => aStaffMember(db.pool))
    await expect(importFrom(used, whole, t.clock.now())).rejects.toThrow(/not empty: staff has rows.*DATA_DIR/)
    expect(await ask(used, 'select 1 from staff')).toHaveLength(1)
    expect(await ask(used, 'select 1 from property')).toEqual([])
  })

  it('when it was cut off', async () => {
    const file = join(folder, 'cut.zip')
    const bytes = await readFile(whole)
    await writeFile(file, bytes.subarray(0, bytes.length - 5000))
    await refused(file, /no whole zip archive.*Fetch the export again/)
  })

  it('when some of its bytes are others', async () => {
    const file = join(folder, 'bit.zip')
    const bytes = await readFile(whole)
    bytes.fill(0, bytes.length >> 1, (bytes.length >> 1) + 500)
    await writeFile(file, bytes)
    await refused(file, /damaged: .* is not as it was written/)
  })

  it('when a part was changed by hand, which is named', async () => {
    const file = await altered('by-hand', { 'csv/property.csv': Buffer.from('street\r\n') }, false)
    await refused(file, /csv\/property\.csv is not as it was written.*changed by hand/)
  })

  it.each(['ndjson/test.ndjson', 'csv/company.csv', 'SHA256SUMS'])('when the part %s is missing', async path => {
    await refused(await altered('missing', { [path]: null }, false), new RegExp(`${path} is missing.*again`))
  })

  it('when a whole table is missing, also from its description', async () => {
    const manifest = replaced('manifest.json', /\{\s*"name": "callback",[^}]*\},/, '')
    const file = await altered('no-table', {
      ...{ 'manifest.json': manifest, 'ndjson/callback.ndjson': null, 'csv/callback.csv': null },
    })
    await refused(file, /callback is missing/)
  })

  it('when a kept file is missing, also from its sums', async () => {
    const path = [...parts.keys()].find(name => name.startsWith('files/'))!
    await refused(await altered('no-file', { [path]: null }), /kept file [0-9a-f]{64} is missing/)
  })

  it('when a newer version of the program wrote it', async () => {
    const later = replaced('manifest.json', /"migrations": \[/, '"migrations": ["29990101000000_later",')
    await refused(await altered('newer', { 'manifest.json': later }), /newer version of this program/)
    const other = Buffer.from('{"format": 2, "version": "9.0"}')
    await refused(await altered('newer-format', { 'manifest.json': other }), /newer version of this program \(9\.0\)/)
  })

  it('when it is something else', async () => {
    await refused(await altered('other', { 'manifest.json': null }), /no export of this program/)
    await expect(importFrom(url, join(folder, 'nowhere.zip'), 0)).rejects.toThrow(/ENOENT/)
  })

  it('when its standings do not follow from its facts', async () => {
    const file = await altered('forged', {
      'ndjson/exposure.ndjson': replaced('ndjson/exposure.ndjson', /"value":"[\d.]+"/g, '"value":"9.9"'),
    })
    await refused(file, /another standing than the export says/)
  })

  it('when its records refer to what is not in it', async () => {
    const file = await altered('dangling', {
      'ndjson/visit_crew.ndjson': replaced('ndjson/visit_crew.ndjson', /"visit_id":"./, '"visit_id":"f'),
    })
    await refused(file, /visit_crew/)
  })
})

it('is brought up where it was written at an earlier level, and refused where the database is beyond it', async () => {
  const known = await migrationsOfProgram()
  const earlier = await kept(anEmptyDatabase)
  await migrate(earlier, undefined, known.slice(0, -1))
  await ask(
    earlier,
    `insert into customer (id, name, created_at, updated_at) values (gen_random_uuid(), 'Ann', now(), now())`,
  )
  const file = join(folder, 'earlier.zip')
  await exportInto(earlier, file, t.clock.now())
  const url = await kept(anEmptyDatabase)
  await importFrom(url, file, t.clock.now())
  await withDatabase(url, async db => {
    expect(await migrationsApplied(db.pool)).toEqual(known.map(({ name }) => name))
  })
  expect(await ask(url, 'select name from customer')).toEqual([{ name: 'Ann' }])
  await expect(importFrom(await kept(aDatabase), file, t.clock.now())).rejects.toThrow(/earlier level.*DATA_DIR/)
})
