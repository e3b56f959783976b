import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Program } from '../../support/actors.ts'
import { aLot } from '../../support/monitors.ts'
import { aLocationRow, aPropertyRow } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let t: TestApp
let app: Program
let lot: string
let home: string
let room: string
let next = 0

beforeAll(async () => {
  t = await buildTestApp({ at: '2026-03-02T15:00:00Z' })
  app = await t.as.app()
  lot = await aLot(app, { expiresOn: '2026-12-31' })
  const property = await aPropertyRow(t.db.pool, { street: '12 Kestrel Lane', zone: 'America/Chicago' })
  home = property.id
  room = (await aLocationRow(t.db.pool, property, { name: 'Den' })).id
})
afterAll(() => t.close())

const leave = async (number: string, more: object = {}) => {
  const days = { exposedFrom: '2026-02-21', exposedTo: '2026-02-25', postedOn: '2026-02-26' }
  const kit = { deviceId: lot, number, purpose: 'retest', leftOn: '2026-02-20', locationId: room, ...days, ...more }
  const answer = await app.post(`/v1/properties/${home}/kits`, kit)
  expect(answer.status, answer.text).toBe(201)
  return answer.body as { id: string }
}
const number = () => `T-${++next}`

/** A laboratory's table that names numbers and results, no homes. */
const sent = async (rows: readonly (readonly [string, string])[], who = app) => {
  const lines = ['Kit number,Result (pCi/L),Laboratory', ...rows.map(([kit, result]) => `${kit},${result},North Lab`)]
  const answer = await who.agent
    .post('/v1/imports')
    .set('Idempotency-Key', randomUUID())
    .attach('file', Buffer.from(lines.join('\n')), 'lab.csv')
    .field({ kind: 'results-table' })
  expect(answer.status, answer.text).toBe(201)
  return answer.body
}
const kitState = async (id: string) => (await app.get(`/v1/kits/${id}`).expect(200)).body

describe('a laboratory’s table without addresses', () => {
  it('settles the kits of its numbers, each at the home, in the room and on the days it was left for', async () => {
    const [one, other] = [number(), number()]
    const kits = [await leave(one), await leave(other)]
    const table = await sent([
      [one.toLowerCase(), '2.2'],
      [other, '< 0.4'],
    ])
    expect(table.table).toMatchObject({
      questions: [],
      dryRun: { fresh: 2, kitsAnswered: 2, bad: 0, homesToTakeUp: 0 },
    })
    await app.post(`/v1/imports/${table.id}/commit`, {}).expect(201)
    const answered = await Promise.all(kits.map(({ id }) => kitState(id)))
    expect(answered).toMatchObject([{ state: 'answered' }, { state: 'answered' }])
    const test = (await app.get(`/v1/tests/${answered[0]!.testId}`).expect(200)).body
    expect(test).toMatchObject({
      propertyId: home,
      purpose: 'retest',
      method: 'activated-charcoal',
      source: 'own',
      laboratory: 'North Lab',
      resultInAt: '2026-03-02T15:00:00.000Z',
      setAt: '2026-02-21T18:00:00.000Z',
      exposures: [{ kitNumber: one, deviceId: lot, locationId: room, result: { value: '2.2', unit: 'pCi/L' } }],
    })

    const again = await sent([
      [one, '2.2'],
      [other, '< 0.4'],
    ])
    expect(again.table.dryRun).toMatchObject({ fresh: 0, same: 2, bad: 0 })
  })

  it('undone gives the kits back to wait, and read again in another unit changes what they say', async () => {
    const one = number()
    const kit = await leave(one)
    const table = await sent([[one, '60']])
    const done = (await app.post(`/v1/imports/${table.id}/commit`, {}).expect(201)).body
    const body = { kind: 'read-again', id: table.id, told: { unit: 'Bq/m3' }, reason: 'it writes Bq/m³' }
    await app.post('/v1/corrections', body).expect(201)
    const { testId } = await kitState(kit.id)
    const test = (await app.get(`/v1/tests/${testId}`).expect(200)).body
    expect(test.exposures).toMatchObject([{ kitNumber: one, result: { value: '60', unit: 'Bq/m3' } }])
    await app.agent
      .post(`/v1/imports/${table.id}/undo`)
      .set('If-Match', `"${done.version + 1}"`)
      .expect(200)
    expect((await kitState(kit.id)).state).not.toBe('answered')
  })

  it('tells by line each number that fits no kit, two, one with another answer, one set as a test, or stands twice', async () => {
    const [two, old, set, twice] = [number(), number(), number(), number()]
    await leave(two)
    await leave(two, { deviceId: await aLot(app) })
    await leave(old)
    await app.post('/v1/kit-answers', { number: old, result: { value: '1.1', unit: 'pCi/L' } }).expect(201)
    await app
      .post(`/v1/properties/${home}/tests`, {
        purpose: 'retest',
        method: 'activated-charcoal',
        setAt: '2026-02-27T15:00:00Z',
        exposures: [{ deviceId: lot, kitNumber: set, locationId: room }],
      })
      .expect(201)
    await leave(twice)
    const table = await sent([
      ['no-such', '1'],
      [two, '2'],
      [old, '3'],
      [set, '4'],
      [twice, '5'],
      [twice, '6'],
      ['', '7'],
    ])
    expect(table.table.dryRun).toMatchObject({ fresh: 1, bad: 6 })
    const said = table.table.dryRun.faults.map(({ line, problem }: { line: number; problem: string }) => [
      line,
      problem,
    ])
    expect(said).toEqual([
      [2, 'is the number of no kit that has left the shop'],
      [3, expect.stringMatching(/several kits that wait: .* at 12 Kestrel Lane.*; .*12 Kestrel Lane/)],
      [4, 'has another answer already, or came back unused'],
      [5, expect.stringContaining('waits as a test that was set at 12 Kestrel Lane')],
      [7, 'stands on line 6 already'],
      [8, 'names no home'],
    ])
    for (const { remedy } of table.table.dryRun.faults) expect(remedy).not.toBe('')
    await app.post(`/v1/imports/${table.id}/commit`, {}).expect(422)
  })

  it('and an answer typed at the same time: one of the two is the kit’s answer', async () => {
    const one = number()
    const kit = await leave(one)
    const table = await sent([[one, '3.3']])
    const both = await Promise.all([
      app.post(`/v1/imports/${table.id}/commit`, {}),
      app.post('/v1/kit-answers', { number: one, result: { value: '3.4', unit: 'pCi/L' } }),
    ])
    expect(both.map(({ status }) => status).sort()).toEqual([201, 422])
    const named = await t.db.pool.query('select id from exposure where kit_number = $1', [one])
    expect(named.rows).toHaveLength(1)
    expect((await kitState(kit.id)).state).toBe('answered')
  })

  it('finds no kit of a home that the app may not see', async () => {
    const one = number()
    await leave(one)
    const stranger = await t.as.app({ homes: [] })
    const table = await sent([[one, '2.2']], stranger)
    expect(table.table.dryRun.faults).toMatchObject([{ problem: 'is the number of no kit that has left the shop' }])
  })
})
