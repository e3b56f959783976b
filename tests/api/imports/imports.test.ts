import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { PLAIN_DIALECT, writeMonitorFile } from '../../../seed/monitor-files.ts'
import type { Program } from '../../support/actors.ts'
import { withShippedPolicies } from '../../support/laws-in-database.ts'
import { aLocationRow, aPropertyRow, type Row } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'
import { hourly } from '../../support/test-facts.ts'

let app: TestApp
let office: Program
let home: Row
let basement: Row
const zone = 'America/Chicago'

beforeAll(async () => {
  app = await buildTestApp({ at: '2026-01-10T12:00:00Z' })
  await withShippedPolicies(app.db, { actor: { kind: 'operator', id: null }, now: app.clock.now(), requestId: 'test' })
  home = await aPropertyRow(app.db.pool, { zone, jurisdiction: 'US-MN' })
  basement = await aLocationRow(app.db.pool, home, { name: 'Basement', floor: -1 })
  office = await app.as.app()
})
afterAll(() => app.close())

const file = (tenths: number, over = {}) =>
  Buffer.from(
    writeMonitorFile(
      hourly(48, i => tenths + (i % 3)),
      { ...PLAIN_DIALECT, date: 'day-month-name', clock: { zone }, ...over },
    ),
  )

const send = (who: Program, bytes: Buffer, fields: Record<string, string> = {}, key = randomUUID()) => {
  const sent = who.agent.post('/v1/imports').set('Idempotency-Key', key).attach('file', bytes, 'monitor.csv')
  for (const [name, value] of Object.entries({ kind: 'monitor-record', propertyId: home.id, ...fields }))
    sent.field(name, value)
  return sent
}
const target = () => ({ propertyId: home.id, purpose: 'pre-mitigation', exposure: { locationId: basement.id } })

describe('POST /v1/imports', () => {
  it('is refused without the scope, and for a home that is not the app’s', async () => {
    const reader = await app.as.app({ scopes: ['tests:read'] })
    await send(reader, file(20)).expect(403)
    const elsewhere = await app.as.app({ homes: [] })
    await send(elsewhere, file(20)).expect(404)
  })

  it('answers with the reading, the sentence, the first rows and a chart, and changes nothing', async () => {
    const { body, headers } = await send(office, file(20)).expect(201)
    expect(headers.location).toBe(`/v1/imports/${body.id}`)
    expect(body.record.sentence.map((part: { text: string }) => part.text).join('')).toContain(
      'clock in Chicago time with daylight saving',
    )
    expect(body).toMatchObject({
      state: 'proposed',
      record: { readings: 48, preview: [{ line: 2 }, {}, {}, {}, {}, {}, {}, {}], questions: [] },
    })
    const tests = await office.get(`/v1/tests?propertyId=${home.id}`).expect(200)
    expect(tests.body.items).toEqual([])
  })

  it('refuses what is no text with 422 and what is too large with 413', async () => {
    const { body } = await send(office, Buffer.from('504b0304', 'hex')).expect(422)
    expect(body.errors).toMatchObject([{ code: 'not-text', pointer: '#/file' }])
    await send(office, Buffer.alloc(21 * 1024 * 1024, 'a,b\n')).expect(413)
  })

  it('sent twice under one key is one import', async () => {
    const key = randomUUID()
    const [first, second] = [
      await send(office, file(21), {}, key).expect(201),
      await send(office, file(21), {}, key).expect(201),
    ]
    expect(second.body.id).toBe(first.body.id)
    await send(office, file(22), {}, key).expect(422)
  })
})

describe('upload, tell, commit', () => {
  it('makes a test in two calls, recognises the file again, and undoes it', async () => {
    const upload = (await send(office, file(41)).expect(201)).body
    const done = (
      await office.post(`/v1/imports/${upload.id}/commit`, { target: target(), saveReadingAs: 'grey' }).expect(201)
    ).body
    expect(done).toMatchObject({ state: 'committed', summary: { made: 1, same: 0 } })
    const test = (await office.get(`/v1/tests/${done.testId}`).expect(200)).body
    expect(test).toMatchObject({
      method: 'continuous-monitor',
      evaluation: { outcome: 'at-or-above', exposures: [{ fromSeries: true }] },
    })

    const again = (await send(office, file(41), { savedReading: 'grey' }).expect(201)).body
    expect(again).toMatchObject({
      alreadyImported: { importId: upload.id, said: expect.stringContaining('0 new') },
      record: { how: { unit: { by: 'told' } } },
    })
    await office.post(`/v1/imports/${again.id}/commit`, { target: target() }).expect(409)

    await office.agent.post(`/v1/imports/${upload.id}/undo`).expect(428)
    const undone = await office.agent
      .post(`/v1/imports/${upload.id}/undo`)
      .set('If-Match', `"${done.version}"`)
      .expect(200)
    expect(undone.body.state).toBe('undone')
    const voided = await office.get(`/v1/tests/${done.testId}`).expect(200)
    expect(voided.body).toMatchObject({ evaluation: null, voidReason: 'the import of monitor.csv was undone' })
  })

  it('asks, is told, and then reads', async () => {
    const upload = (await send(office, file(44, { unitIn: 'nowhere' })).expect(201)).body
    expect(upload.record.questions).toMatchObject([{ part: 'unit', choices: [{ value: 'pCi/L' }, { value: 'Bq/m3' }] }])
    await office.post(`/v1/imports/${upload.id}/commit`, { target: target() }).expect(422)
    const told = await office.patch(`/v1/imports/${upload.id}`, { told: { unit: 'Bq/m3' } }, upload.version).expect(200)
    expect(told.body).toMatchObject({ version: 2, record: { questions: [], reading: { unit: 'Bq/m3' } } })
    await office.patch(`/v1/imports/${upload.id}`, { told: { unit: 'pCi/L' } }, upload.version).expect(412)
    await office.patch(`/v1/imports/${upload.id}`, { told: { unit: 'furlong' } }, 2).expect(422)
    const done = await office.post(`/v1/imports/${upload.id}/commit`, { target: target() }).expect(201)
    const late = await office
      .patch(`/v1/imports/${upload.id}`, { told: { unit: 'pCi/L' } }, done.body.version)
      .expect(409)
    expect(late.body.type).toMatch(/\/problems\/import-committed$/)
    expect(done.headers.location).toBe(`/v1/tests/${done.body.testId}`)
  })

  it('does it in one call with an explicit reading', async () => {
    const { reading } = (await send(office, file(51)).expect(201)).body.record
    const { body } = await send(office, file(52), { commit: JSON.stringify({ reading, target: target() }) }).expect(201)
    expect(body).toMatchObject({ state: 'committed', summary: { made: 1 } })
    await send(office, file(53), { commit: '{"reading": ' }).expect(422)
  })

  it('puts the record into an exposure that waits for it', async () => {
    const set = (
      await office
        .post(`/v1/properties/${home.id}/tests`, {
          purpose: 'retest',
          method: 'continuous-monitor',
          setAt: '2025-11-03T10:00:00-06:00',
          exposures: [{ locationId: basement.id }],
        })
        .expect(201)
    ).body
    const upload = (await send(office, file(61)).expect(201)).body
    const waiting = {
      testId: set.id ?? set.test.id,
      exposureId: (set.exposures ?? set.test.exposures)[0].id,
      version: 1,
    }
    const done = (await office.post(`/v1/imports/${upload.id}/commit`, { target: waiting }).expect(201)).body
    expect(done.testId).toBe(waiting.testId)
    await office.agent.post(`/v1/imports/${upload.id}/undo`).set('If-Match', `"${done.version}"`).expect(409)
  })
})

describe('reading imports', () => {
  it('lists them newest first in pages', async () => {
    const first = (await office.get('/v1/imports?limit=2').expect(200)).body
    expect(first.items).toHaveLength(2)
    const second = (await office.get(`/v1/imports?limit=2&cursor=${first.next}`).expect(200)).body
    const times = [...first.items, ...second.items].map(
      (item: { createdAt: string; id: string }) => item.createdAt + item.id,
    )
    expect(times).toEqual([...times].sort().reverse())
  })

  it('keeps readings by name and forgets them', async () => {
    const { items } = (await office.get('/v1/saved-readings').expect(200)).body
    expect(items).toMatchObject([{ name: 'grey', reading: { unit: 'pCi/L', dateOrder: 'ymd' } }])
    await office.agent.delete(`/v1/saved-readings/${items[0].id}`).expect(204)
    await office.agent.delete(`/v1/saved-readings/${items[0].id}`).expect(404)
  })
})

describe('a table of results', () => {
  const table =
    'Address,City,State,Method,Purpose,Start,Stop,Result (pCi/L)\n1 Elm,Duluth,MN,charcoal,retest,2025-10-14 17:30,2025-10-16 18:00,3.9\n'
  const sendTable = (text: string, fields: Record<string, string> = {}) =>
    office.agent
      .post('/v1/imports')
      .set('Idempotency-Key', randomUUID())
      .attach('file', Buffer.from(text), 'results.csv')
      .field({ kind: 'results-table', ...fields })

  it('goes from dry run to tests of homes taken up', async () => {
    const dry = (await sendTable(table).expect(201)).body
    expect(dry.table.dryRun).toMatchObject({ fresh: 0, bad: 1, faults: [{ line: 2, problem: 'is no home on record' }] })
    const told = (
      await office
        .patch(`/v1/imports/${dry.id}`, { told: { unknownHomes: 'take-up', constants: { source: 'laboratory' } } }, 1)
        .expect(200)
    ).body
    expect(told.table.dryRun).toMatchObject({ fresh: 1, bad: 0, homesToTakeUp: 1 })
    const done = (await office.post(`/v1/imports/${dry.id}/commit`, {}).expect(201)).body
    const [taken] = done.summary.homesTakenUp
    const tests = (await office.get(`/v1/tests?propertyId=${taken}`).expect(200)).body
    expect(tests.items).toMatchObject([{ source: 'laboratory', setAt: '2025-10-14T22:30:00.000Z' }])
  })

  it('finds a home on record however its street and unit are written, and takes two spellings of a new one up as one', async () => {
    const here = { city: 'Duluth', region: 'MN', postcode: '55802', zone }
    const second = await aPropertyRow(app.db.pool, { ...here, street: '12 N Main St', unit: 'Apt 2' })
    await aPropertyRow(app.db.pool, { ...here, street: '12 N Main St', unit: 'Apt 3' })
    await aPropertyRow(app.db.pool, { ...here, street: '12 S Main St', unit: 'Apt 2' })
    const first = await aPropertyRow(app.db.pool, { ...here, street: '40 1st Ave', unit: '' })
    const rows = [
      '12 North Main Street,Unit 2,Duluth,MN,55802,2025-10-14,2025-10-16,3.9',
      '12 N. Main St. #2,,Duluth,MN,55802-1234,2025-11-14,2025-11-16,3.1',
      '40 First Avenue,,Duluth,MN,,2025-10-14,2025-10-16,2.2',
      '7 Birch Road,,Duluth,MN,55802,2025-10-14,2025-10-16,1.1',
      '7 Birch Rd.,,duluth,MN,55802,2025-11-14,2025-11-16,1.3',
    ]
    const text = ['Address,Apt,City,State,Zip,Start,Stop,Result (pCi/L)', ...rows].join('\n')
    const constants = { source: 'laboratory', method: 'activated-charcoal', purpose: 'retest' }
    const dry = (await sendTable(text).expect(201)).body
    const told = (await office.patch(`/v1/imports/${dry.id}`, { told: { unknownHomes: 'take-up', constants } }, 1)).body
    expect(told.table.dryRun).toMatchObject({ faults: [], fresh: 5, bad: 0, homesToTakeUp: 1 })
    await office.post(`/v1/imports/${dry.id}/commit`, {}).expect(201)
    const resultsOf = async (id: string) => (await office.get(`/v1/tests?propertyId=${id}`)).body.items.length
    expect([await resultsOf(second.id), await resultsOf(first.id)]).toEqual([2, 1])
  })
})
