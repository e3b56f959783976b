import { afterAll, beforeAll, expect, it } from 'vitest'
import type { Program } from '../support/actors.ts'
import { eventually } from '../support/eventually.ts'
import { figures, size } from '../support/scale.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aWholeHome, day1 } from '../support/world.ts'

let t: TestApp
let program: Program
beforeAll(async () => {
  t = await buildTestApp()
  program = await t.as.app()
})
afterAll(() => t.close())

const customers = async (name: string) =>
  (await t.db.pool.query('select count(*)::int as n from customer where name = $1', [name])).rows[0].n

it('F09: one POST sent twenty times at once makes one record and one answer', async () => {
  const rounds = size(5, 50)
  let running = 0
  let replayed = 0
  for (let round = 0; round < rounds; round++) {
    const name = `Round ${round}`
    const answers = await Promise.all(
      Array.from({ length: 20 }, () => program.post('/v1/customers', { name }, `same-key-${round}`)),
    )
    const made = answers.filter(answer => answer.status === 201)
    const busy = answers.filter(answer => answer.status === 409)
    expect(made.length + busy.length).toBe(20)
    expect(made.length).toBeGreaterThan(0)
    for (const answer of busy) expect(answer.headers['retry-after']).toBe('1')
    for (const answer of made) {
      expect(answer.text).toBe(made[0]!.text)
      expect(answer.headers.location).toBe(made[0]!.headers.location)
      expect(answer.headers.etag).toBe(made[0]!.headers.etag)
    }
    expect(made.filter(answer => answer.headers['idempotency-replayed'] !== 'true')).toHaveLength(1)
    running += busy.length
    replayed += made.length - 1
    expect(await customers(name)).toBe(1)
  }
  figures('F09', { posts: rounds * 20, records: rounds, 'told to wait': running, replayed, duplicated: 0 })
})

it('F09: the same key later gives the same answer, with another body a 422', async () => {
  const first = await program.post('/v1/customers', { name: 'Later' }, 'key-for-later')
  const again = await program.post('/v1/customers', { name: 'Later' }, 'key-for-later')
  expect(again.status).toBe(201)
  expect(again.text).toBe(first.text)
  expect(again.headers['idempotency-replayed']).toBe('true')
  const other = await program.post('/v1/customers', { name: 'Another' }, 'key-for-later')
  expect(other.status).toBe(422)
  expect(await customers('Later')).toBe(1)
  expect(await customers('Another')).toBe(0)
})

it('F09: an answer that came for the key meanwhile stays, and what was begun after it is taken back', async () => {
  const first = await program.post('/v1/customers', { name: 'Meanwhile' }, 'key-first')
  const other = await t.db.pool.connect()
  await other.query('begin')
  await other.query('lock table customer in share row exclusive mode')
  const second = program.post('/v1/customers', { name: 'Meanwhile' }, 'key-meanwhile').then(answer => answer)
  await eventually(async () => {
    const { rows } = await t.db.pool.query(
      `select 1 from pg_locks where not granted and relation = 'customer'::regclass and database =
         (select oid from pg_database where datname = current_database())`,
    )
    return rows.length > 0
  })
  await other.query(
    `insert into idempotency (actor, route, key, fingerprint, status, headers, body, at)
     select actor, route, 'key-meanwhile', fingerprint, status, headers, body, at from idempotency where key = 'key-first'`,
  )
  await other.query('commit')
  other.release()
  expect((await second).status).toBe(409)
  expect(await customers('Meanwhile')).toBe(1)
  const again = await program.post('/v1/customers', { name: 'Meanwhile' }, 'key-meanwhile')
  expect(again.headers['idempotency-replayed']).toBe('true')
  expect(again.text).toBe(first.text)
})

it('F09: a key of another app is another key', async () => {
  const stranger = await t.as.app()
  expect((await program.post('/v1/customers', { name: 'Mine' }, 'shared-key')).status).toBe(201)
  const theirs = await stranger.post('/v1/customers', { name: 'Mine' }, 'shared-key')
  expect(theirs.headers['idempotency-replayed']).toBeUndefined()
  expect(await customers('Mine')).toBe(2)
})

it('F09: a request refused for its content does not use up its key', async () => {
  expect((await program.post('/v1/customers', { name: '' }, 'key-of-a-slip')).status).toBe(422)
  expect((await program.post('/v1/customers', { name: 'Mended' }, 'key-of-a-slip')).status).toBe(201)
})

it('F10: of two people who change one record the second is told, and nothing is overwritten', async () => {
  const made = await program.post('/v1/customers', { name: 'Two hands' })
  const path = made.headers.location!
  const version = JSON.parse(made.headers.etag!)
  expect((await program.patch(path, { name: 'First', reason: 'typo' }, version)).status).toBe(200)
  const second = await program.patch(path, { name: 'Second', reason: 'typo' }, version)
  expect(second.status).toBe(412)
  expect((await program.get(path)).body.name).toBe('First')
})

it('F10: of twenty changes at once to one version exactly one holds', async () => {
  const made = await program.post('/v1/customers', { name: 'Twenty hands' })
  const path = made.headers.location!
  const answers = await Promise.all(
    Array.from({ length: 20 }, (_, n) => program.patch(path, { name: `Hand ${n}`, reason: 'race' }, 1)),
  )
  const statuses = answers.map(answer => answer.status).sort()
  expect(statuses).toEqual([200, ...Array(19).fill(412)])
  const held = answers.find(answer => answer.status === 200)!
  expect((await program.get(path)).body).toMatchObject({ name: held.body.name, version: 2 })
})

it('F10: a change without If-Match is refused before anything is read', async () => {
  const made = await program.post('/v1/customers', { name: 'No tag' })
  const answer = await program.agent.patch(made.headers.location!).send({ name: 'x', reason: 'y' })
  expect(answer.status).toBe(428)
})

it('F10: of twenty tests recorded at one home at once none is turned away', async () => {
  const home = await aWholeHome(program, 'Crowded')
  const answers = await Promise.all(
    Array.from({ length: 20 }, (_, n) =>
      program.post(
        `/v1/properties/${home.property}/tests`,
        {
          purpose: 'retest',
          method: 'activated-charcoal',
          setAt: day1,
          exposures: [{ locationId: home.location, startAt: day1 }],
        },
        `crowd-${n}-of-one-home`,
      ),
    ),
  )
  expect(answers.map(answer => answer.status)).toEqual(Array(20).fill(201))
})
