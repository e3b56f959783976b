import pg from 'pg'
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest'
import { manyHomes } from '../../bench/rig/many-homes.ts'
import { restand } from '../../src/standing/restand.ts'
import type { Person, Program } from '../support/actors.ts'
import { writtenAt } from '../support/rows.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

let app: TestApp
let person: Person
let program: Program
let said: string[] = []
type Ids = Readonly<Record<'home' | 'system', string>>
let plain: Ids
let laden: Ids

const query = pg.Client.prototype.query as (...args: unknown[]) => unknown

/** What is said to the database while some work is done; brackets apart, and the count of twenty requests at once. */
async function statementsOf(work: () => Promise<{ status: number }>): Promise<string[]> {
  await work()
  said = []
  expect((await work()).status).toBeLessThan(300)
  return said.filter(text => !/^(begin|commit|rates-take)$/i.test(text))
}

beforeAll(async () => {
  // What is believed for two seconds stays believed, however slow the machine.
  vi.useFakeTimers({ toFake: ['performance'] })
  // Counts at the driver, where nothing can go past.
  pg.Client.prototype.query = function counted(this: pg.Client, ...args: unknown[]) {
    const asked = args[0] as string | { name?: string; text?: string }
    said.push(typeof asked === 'string' ? asked : (asked.name ?? asked.text ?? ''))
    return query.apply(this, args)
  } as never
  app = await buildTestApp()
  await manyHomes(app.databaseUrl, 300)
  const { rows } = await app.db.pool.query<Ids>(
    'select property_id as home, id as system from system order by id limit 2',
  )
  ;[plain, laden] = rows as [Ids, Ids]
  await moreOfEach(plain, 1)
  await moreOfEach(laden, 100)
  const act = { actor: { kind: 'operator', id: null }, now: app.clock.now(), requestId: 'test' } as const
  for (const { home } of [plain, laden]) await app.db.transaction(tx => restand(tx, act, home))
  ;[person, program] = [await app.as.office(), await app.as.app()]
})
afterAll(async () => {
  pg.Client.prototype.query = query as never
  vi.useRealTimers()
  await app.close()
})

/** So many events, parts and visits, and five times as many tests. */
async function moreOfEach({ home, system }: Ids, times: number): Promise<void> {
  const run = (text: string, values: readonly unknown[]) => app.db.pool.query(text, [...values])
  await run(
    `with t as (insert into test (id, property_id, purpose, method, set_at, picked_up_at, result_in_at, created_at, updated_at)
       select uuidv7(), $1, 'retest', 'activated-charcoal', $2::timestamptz - make_interval(days => 9 + n), $2::timestamptz - make_interval(days => 6 + n), $2, $2, $2
         from generate_series(1, 5 * $3::int) n returning id, set_at, picked_up_at)
     insert into exposure (id, test_id, start_at, stop_at, value, unit, created_at)
     select uuidv7(), id, set_at, picked_up_at, '1.9', 'pCi/L', $2 from t`,
    [home, writtenAt, times],
  )
  await run(
    `insert into home_event (id, property_id, kind, at, created_at) select uuidv7(), $1, 'renovation', $2, $2 from generate_series(1, $3::int)`,
    [home, writtenAt, times],
  )
  await run(
    `insert into system_component (id, system_id, kind, installed_at, created_at) select uuidv7(), $1, 'gauge', $2, $2 from generate_series(1, $3::int)`,
    [system, writtenAt, times],
  )
  await run(
    `insert into visit (id, property_id, purpose, starts_at, created_at, updated_at) select uuidv7(), $1, 'gauge-check', $2, $2, $2 from generate_series(1, $3::int)`,
    [home, writtenAt, times],
  )
}

/** So many monitors that nobody has picked up at a home, and kits of a lot that nobody has said a word of. */
async function lendOut(home: string, times: number): Promise<void> {
  const run = (text: string) => app.db.pool.query(text, [home, writtenAt, times])
  await run(
    `with d as (insert into device (id, kind, method, serial, created_at, updated_at)
         select uuidv7(), 'monitor', 'continuous-monitor', 'HM-' || n, $2, $2 from generate_series(1, $3::int) n returning id),
       t as (insert into test (id, property_id, purpose, method, set_at, created_at, updated_at)
         select d.id, $1::uuid, 'retest', 'continuous-monitor', $2, $2, $2 from d returning id)
     insert into exposure (id, test_id, device_id, start_at, created_at) select uuidv7(), t.id, t.id, $2, $2 from t`,
  )
  await run(
    `with d as (insert into device (id, kind, method, lot, created_at, updated_at)
         values (uuidv7(), 'kit-lot', 'activated-charcoal', 'AC-1', $2, $2) returning id)
     insert into kit (id, device_id, number, property_id, purpose, left_on, created_at, updated_at)
     select uuidv7(), d.id, 'K-' || n, $1::uuid, 'retest', $2::date, $2, $2 from d, generate_series(1, $3::int) n`,
  )
}

const views: Record<string, (ids: Ids) => Promise<{ status: number }>> = {
  'the page of a home': ({ home }) => person.get(`/homes/${home}`),
  'the screen for a call': ({ home }) => person.get(`/homes/${home}/phone?reported=alarm`),
  'the page of a system': ({ system }) => person.get(`/systems/${system}`),
  'a home': ({ home }) => program.get(`/v1/properties/${home}`),
  'a standing': ({ home }) => program.get(`/v1/properties/${home}/standing`),
  'a system': ({ system }) => program.get(`/v1/systems/${system}`),
  'the tests of a home': ({ home }) => program.get(`/v1/tests?propertyId=${home}&limit=200`),
  'the visits of a home': ({ home }) => program.get(`/v1/visits?propertyId=${home}&limit=200`),
}
const lists = [
  '/v1/properties',
  '/v1/systems',
  '/v1/tests',
  '/v1/customers',
  '/v1/visits',
  '/v1/devices',
  '/v1/changes',
]

describe('what is said to the database for one view', () => {
  it.each(Object.keys(views))('is the same at a hundred times the records: %s', async name => {
    const few = await statementsOf(() => views[name]!(plain))
    expect(await statementsOf(() => views[name]!(laden))).toEqual(few)
  })

  it.each(lists)('is at most three statements for a list, one record or two hundred: %s', async path => {
    const one = await statementsOf(() => program.get(`${path}?limit=1`))
    expect(one.length).toBeLessThanOrEqual(3)
    expect(await statementsOf(() => program.get(`${path}?limit=200`))).toEqual(one)
  })

  it('is at most eight statements for the page of a home, the sign-in among them', async () => {
    expect((await statementsOf(() => views['the page of a home']!(laden))).length).toBeLessThanOrEqual(8)
  })

  it('is at most four statements for the screen of a call, the sign-in among them', async () => {
    expect((await statementsOf(() => views['the screen for a call']!(laden))).length).toBeLessThanOrEqual(4)
  })

  it('is at most seven statements for what a caller says, the same however many homes answer', async () => {
    const asked = (typed: string) => statementsOf(() => person.get(`/phone?q=${typed}`))
    const all = await asked('street')
    expect(all.length).toBeLessThanOrEqual(7)
    expect(await asked('alder')).toEqual(all)
  })

  it('is the same on the pages of devices and on the ledger, with no monitor and kit and with a hundred out', async () => {
    const pages = ['/devices', '/chase', '/', `/homes/${plain.home}/devices`]
    const said = async () => {
      const each: string[][] = []
      for (const path of pages) each.push(await statementsOf(() => person.get(path)))
      return each
    }
    const few = await said()
    await lendOut(plain.home, 100)
    expect((await person.get('/chase')).text).toContain('100 monitors and 100 kits out')
    expect(await said()).toEqual(few)
  })

  it('is no statement to check a token that has been checked before', async () => {
    expect(await statementsOf(() => program.get(`/v1/systems/${plain.system}`))).toEqual(['system-by-id', 'audit-read'])
  })

  it('is one small statement to tell that a system is unchanged: its parts are not read', async () => {
    const path = `/v1/systems/${laden.system}`
    const { headers } = await program.get(path)
    said = []
    await program.get(path).set('if-none-match', headers.etag!).expect(304)
    expect(said.filter(text => text !== 'rates-take')).toEqual(['system-version'])
  })

  it('is one commit and the same statements for a write, its trace and its standing with it', async () => {
    const renovated = { kind: 'renovation', at: '2026-01-02T15:00:00Z' }
    const write = ({ home }: Ids) => program.post(`/v1/properties/${home}/events`, renovated)
    const few = await statementsOf(() => write(plain))
    expect(await statementsOf(() => write(laden))).toEqual(few)
    expect(said.filter(text => /^commit$/i.test(text))).toHaveLength(1)
    expect(few.length).toBeLessThanOrEqual(15)
  })
})
