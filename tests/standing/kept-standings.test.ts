import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { loadDemo } from '../../seed/load-demo.ts'
import { canonicalText } from '../../src/domain/standing/canonical-text.ts'
import { publishPolicy } from '../../src/features/policies/publish-policy.ts'
import { type Database, openDatabase } from '../../src/platform/db/client.ts'
import { readStanding } from '../../src/standing/read-standing.ts'
import { restandHomes } from '../../src/standing/restand.ts'
import { markHomesStale, restandDue } from '../../src/standing/restand-stale.ts'
import { aClock, day } from '../support/clock.ts'
import { aDatabase, type TestDatabase } from '../support/database.ts'
import { aLog } from '../support/log.ts'

let database: TestDatabase
let db: Database
const clock = aClock('2026-11-20T18:00:00Z')

beforeAll(async () => {
  database = await aDatabase()
  db = openDatabase({ url: database.url, log: aLog().log })
  await loadDemo(db, clock)
})
afterAll(async () => {
  await db.close()
  await database.drop()
})

type Kept = { id: string; body: string; version: number }
const kept = async (): Promise<Kept[]> => {
  const { rows } = await db.pool.query<{ id: string }>('select property_id as id from standing order by property_id')
  return Promise.all(
    rows.map(async ({ id }) => {
      const { standing, version } = (await readStanding(db, id))!
      return { id, body: canonicalText(standing), version }
    }),
  )
}
const homes = async () => (await kept()).map(row => row.id)
const restandAll = async (now: number) => db.transaction(async tx => restandHomes(tx, { now }, await homes()))

describe('a kept standing', () => {
  it('is given back byte for byte when its home is stood anew from the facts alone', async () => {
    const before = await kept()
    expect(before.length).toBeGreaterThan(12)
    await db.pool.query('delete from test_evaluation')
    await restandAll(clock.now())
    expect(await kept()).toEqual(before)
  })

  it.each([1, 40, 400])('is the same after %i days whether the evaluations were kept or not', async days => {
    const now = clock.now() + days * day
    await restandAll(now)
    const fromKept = await kept()
    await db.pool.query('delete from test_evaluation')
    await restandAll(now)
    expect((await kept()).map(row => row.body)).toEqual(fromKept.map(row => row.body))
    await restandAll(clock.now())
  })

  it('does not change before the instant it names for its next change: the day a published rule set begins', async () => {
    const { rows: present } = await db.pool.query(
      `select body from policy where code = 'US' order by effective_from desc limit 1`,
    )
    const next = { ...present[0].body, effectiveFrom: '2027-06-01', publishedOn: '2026-11-20' }
    const act = { actor: { kind: 'operator', id: null }, now: clock.now(), requestId: 'test' } as const
    await db.transaction(tx => publishPolicy(tx, act, next))
    await restandAll(clock.now())
    const { rows } = await db.pool.query<{ id: string; at: Date }>(
      `select property_id as id, next_change_at as at from standing where next_change_at is not null`,
    )
    expect(rows.length).toBeGreaterThan(10)
    const before = await kept()
    for (const row of rows) {
      const at = new Date(row.at).getTime()
      await db.transaction(tx => restandHomes(tx, { now: at - 1 }, [row.id]))
    }
    expect((await kept()).map(row => row.body)).toEqual(before.map(row => row.body))
    await restandAll(clock.now())
  })
})

describe('what is written of a standing', () => {
  it('is read back whole, though an evaluated test is named by its id alone', async () => {
    const { rows } = await db.pool.query<{ id: string; body: string }>('select property_id as id, body from standing')
    const stood = await restandAll(clock.now())
    expect(rows.some(({ body }) => body.includes('"findings"'))).toBe(false)
    for (const { id, body } of await kept()) expect(body).toBe(canonicalText(stood.get(id)!.standing))
  })

  it('may hold its tests in full, as an earlier version of the service wrote them', async () => {
    const before = await kept()
    for (const { id, body } of before)
      await db.pool.query('update standing set body = $2 where property_id = $1', [id, body])
    expect(await kept()).toEqual(before)
    await restandAll(clock.now())
    expect((await kept()).map(row => row.body)).toEqual(before.map(row => row.body))
  })

  it('counts as changed when an evaluation alone says something else', async () => {
    const { rows } = await db.pool.query<{ id: string }>(
      `update test_evaluation set key = '', body = jsonb_set(body::jsonb, '{accepted}', to_jsonb(not (body::jsonb->>'accepted')::boolean))::text
        where test_id = (select max(test_id::text)::uuid from test_evaluation) returning (select property_id from test where id = test_id) as id`,
    )
    const version = async () => (await readStanding(db, rows[0]!.id))!.version
    const before = await version()
    await restandAll(clock.now())
    expect(await version()).toBe(before + 1)
  })

  it('is not an obligation that stays as it was', async () => {
    const owed = async () =>
      (await db.pool.query('select id, xmin::text from obligation where fulfilled_at is null order by id')).rows
    const before = await owed()
    expect(before.length).toBeGreaterThan(10)
    await db.pool.query(`update standing set engine_version = 0`)
    await restandAll(clock.now())
    expect(await owed()).toEqual(before)
  })
})

describe('the sweep', () => {
  it('stands anew what was marked, once, and leaves the rest alone', async () => {
    const [first] = await homes()
    await db.transaction(tx => markHomesStale(tx, clock.now(), [first!]))
    expect(await restandDue(db, clock.now())).toBe(1)
    expect(await restandDue(db, clock.now())).toBe(0)
    const stale = await db.pool.query('select 1 from standing where stale_since is not null')
    expect(stale.rowCount).toBe(0)
  })

  it('does each home once when two sweeps run at the same moment', async () => {
    const ids = await homes()
    await db.transaction(tx => markHomesStale(tx, clock.now(), ids))
    const done = await Promise.all([restandDue(db, clock.now()), restandDue(db, clock.now())])
    expect(done[0]! + done[1]!).toBe(ids.length)
  })
})
