import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { recordTest } from '../../src/features/tests/record-test.ts'
import { commitImport, fileOf, prepareCommit } from '../../src/intake/commit-import.ts'
import { readImport } from '../../src/intake/import-queries.ts'
import { keepStarted, prepareImport } from '../../src/intake/start-import.ts'
import { commitTableBody } from '../../src/intake/table-schemas.ts'
import { undoImport } from '../../src/intake/undo-import.ts'
import { jobs } from '../../src/jobs.ts'
import { type Database, openDatabase } from '../../src/platform/db/client.ts'
import type { Act } from '../../src/platform/db/record-write.ts'
import { jobsFor } from '../../src/platform/jobs/queue.ts'
import { restandHomes } from '../../src/standing/restand.ts'
import { aDatabase, type TestDatabase } from '../support/database.ts'
import { withShippedPolicies } from '../support/laws-in-database.ts'
import { aLog } from '../support/log.ts'
import { aCompany, aPropertyRow } from '../support/rows.ts'

let database: TestDatabase
let db: Database
const act: Act = { actor: { kind: 'operator', id: null }, now: Date.UTC(2026, 0, 10), requestId: 'batches' }
const homes = 230

beforeAll(async () => {
  database = await aDatabase()
  db = openDatabase({ url: database.url, log: aLog().log })
  await aCompany(db.pool)
  await withShippedPolicies(db, act)
})
afterAll(async () => {
  await db.close()
  await database.drop()
})

const header = 'Address,City,State,Location,Method,Purpose,Start,Stop,Result (pCi/L)\n'
const row = (street: string, hour: number, value: string) =>
  `${street},Duluth,MN,Basement,charcoal,retest,2025-10-14 ${hour}:30,2025-10-16 18:00,${value}\n`
/** Two rows for every home, more homes than go into one batch. */
const bigTable = () =>
  header +
  Array.from(
    { length: homes },
    (_, i) => row(`${i} Elm`, 10, `${1 + (i % 60) / 10}`) + row(`${i} Elm`, 11, '2.0'),
  ).join('')

async function imported(text: string): Promise<string> {
  const told = { unknownHomes: 'take-up', constants: { source: 'laboratory' } } as const
  const file = { fileName: 'results.csv', type: 'text/csv', bytes: Buffer.from(text) }
  const started = await prepareImport(db, act, { file, kind: 'results-table', told: told as never })
  const { id } = await db.transaction(tx => keepStarted(tx, act, jobsFor(jobs), started))
  const prepared = await prepareCommit(
    db,
    act,
    await fileOf(db, await readImport(db, act, id)),
    commitTableBody.parse({}),
  )
  await db.transaction(tx => commitImport(tx, act, id, null, prepared))
  return id
}

const count = async (text: string): Promise<number> => (await db.pool.query(text)).rows[0].n
/** What a home's standing, its tests and all it still owes come to, identifiers apart. */
async function tellingOf(propertyId: string) {
  const { rows: tests } = await db.pool.query(
    `select t.purpose, t.method, t.source, t.set_at, t.picked_up_at, t.result_in_at, t.version, x.value, x.unit, x.qualifier,
        x.start_at, x.stop_at, x.canonical_bq_m3, x.position, l.name, l.floor
       from test t join exposure x on x.test_id = t.id join test_location l on l.id = x.location_id
      where t.property_id = $1 order by t.set_at`,
    [propertyId],
  )
  const { rows: owed } = await db.pool.query(
    `select kind, earliest_on, due_on, due_at, remind_at, next_remind_at, owed_by, recommended, fulfilled_at from obligation
      where property_id = $1 and fulfilled_at is null order by kind, due_on`,
    [propertyId],
  )
  const { rows } = await db.pool.query(
    'select outcome, next_due_on, next_change_at from standing where property_id = $1',
    [propertyId],
  )
  return { tests, owed, standing: rows[0] }
}

describe('a table of more homes than one batch', () => {
  let id: string
  it('makes every home, place and test, each with its own trace, and stands each home once', async () => {
    id = await imported(bigTable())
    expect(await count('select count(*)::int as n from property')).toBe(homes)
    expect(await count('select count(*)::int as n from test_location')).toBe(homes)
    expect(await count('select count(*)::int as n from test')).toBe(2 * homes)
    for (const trace of ['audit', 'change'])
      expect(
        await count(`select count(*)::int as n from ${trace} c join test t on t.id = c.noun_id where c.noun = 'test'`),
      ).toBe(2 * homes)
    expect(await count('select count(*)::int as n from standing where version = 1 and stale_since is null')).toBe(homes)
    expect(await count(`select count(*)::int as n from change where noun = 'standing'`)).toBe(homes)
  })

  it('leaves standings that standing every home alone would not change', async () => {
    const { rows } = await db.pool.query<{ id: string }>('select id from property order by id')
    const before = (await db.pool.query('select * from standing order by property_id')).rows
    for (const { id: home } of rows.slice(0, 20)) await db.transaction(tx => restandHomes(tx, act, [home]))
    expect((await db.pool.query('select * from standing order by property_id')).rows).toEqual(before)
  })

  it('says of a home what recording its rows one by one says', async () => {
    const home = await aPropertyRow(db.pool, { street: '1 Twin', jurisdiction: 'US-MN', zone: 'America/Chicago' })
    await db.pool.query(
      `insert into test_location (id, property_id, name, floor, created_at) values (uuidv7(), $1, 'Basement', 0, now())`,
      [home.id],
    )
    const place = (await db.pool.query('select id from test_location where property_id = $1', [home.id])).rows[0].id
    const [stopAt, hour] = [Date.UTC(2025, 9, 16, 23), 3_600_000]
    for (const [startAt, value] of [
      [Date.UTC(2025, 9, 14, 15, 30), '5.9'],
      [Date.UTC(2025, 9, 14, 15, 30) + hour, '2.0'],
    ] as const)
      await db.transaction(tx =>
        recordTest(tx, act, home.id, {
          ...{ purpose: 'retest', method: 'activated-charcoal', source: 'laboratory' },
          ...{ setAt: startAt, pickedUpAt: stopAt, resultInAt: stopAt },
          exposures: [
            {
              role: 'measurement',
              locationId: place,
              startAt,
              stopAt,
              result: { value, unit: 'pCi/L', qualifier: '=' },
            },
          ],
        }),
      )
    const { rows } = await db.pool.query(`select id from property where street = '49 Elm'`)
    expect(await tellingOf(rows[0].id)).toEqual(await tellingOf(home.id))
  })

  it('is refused by the line of a row that contradicts itself, and nothing is saved', async () => {
    const before = await count('select count(*)::int as n from test')
    const late = `${row('1 Late', 10, '2.0')}2 Late,Duluth,MN,Basement,charcoal,retest,2025-10-19 10:30,2025-10-16 18:00,3.0\n`
    const refusal = await imported(header + late).catch(error => error)
    expect(JSON.stringify(refusal)).toContain('/rows/3')
    expect(await count('select count(*)::int as n from test')).toBe(before)
  })

  it('is undone with the homes it took up, every home stood anew', async () => {
    const { version } = await readImport(db, act, id)
    await db.transaction(tx => undoImport(tx, act, id, version))
    expect(
      await count(`select count(*)::int as n from test where voided_at is null and import_batch_id is not null`),
    ).toBe(0)
    expect(await count(`select count(*)::int as n from property where voided_at is not null`)).toBe(homes)
    expect(
      await count(
        `select count(*)::int as n from audit where action = 'void' and noun in ('test', 'property', 'import')`,
      ),
    ).toBe(3 * homes + 1)
    expect(await count(`select count(*)::int as n from standing where outcome = 'undetermined' and version = 2`)).toBe(
      homes,
    )
    expect(
      await count(`select count(*)::int as n from obligation o join property p on p.id = o.property_id
        where p.voided_at is not null and o.fulfilled_at is null and o.kind like '%retest%'`),
    ).toBe(0)
  })
})
