import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import type { Program } from '../../support/actors.ts'
import { aLot } from '../../support/monitors.ts'
import { aCustomerRow, aLocationRow, aPropertyRow } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let app: Program
let lot: string
let home: string
let room: string

beforeAll(async () => {
  service = await buildTestApp({ at: '2026-03-02T15:00:00Z' })
  app = await service.as.app()
})
afterAll(() => service.close())
beforeEach(async () => {
  lot = await aLot(app, { expiresOn: '2026-12-31' })
  const property = await aPropertyRow(service.db.pool)
  home = property.id
  room = (await aLocationRow(service.db.pool, property)).id
})

const leave = (more: object = {}) =>
  app.post(`/v1/properties/${home}/kits`, {
    deviceId: lot,
    number: 'K-1',
    purpose: 'pre-mitigation',
    leftOn: '2026-02-20',
    leftWith: 'Mrs Holm',
    ...more,
  })
const errors = async (more: object) => {
  const answer = await leave(more)
  expect(answer.status).toBe(422)
  return answer.body.errors
}

describe('a kit that is left at a home', () => {
  it('is refused from no lot, from one past its day, and under a number of the lot that is out', async () => {
    expect(await errors({ deviceId: home })).toMatchObject([{ pointer: '#/deviceId', code: 'unknown-reference' }])
    const old = await aLot(app, { expiresOn: '2026-02-19' })
    expect(await errors({ deviceId: old })).toMatchObject([{ pointer: '#/deviceId', code: 'lot-expired' }])
    const lastDay = await aLot(app, { expiresOn: '2026-02-20' })
    expect((await leave({ deviceId: lastDay })).status).toBe(201)
    await leave()
    expect(await errors({ number: 'k-1' })).toMatchObject([{ pointer: '#/number', code: 'number-taken' }])
  })

  it('is refused on a day to come, with days out of order, and with somebody who is not around the home', async () => {
    expect(await errors({ leftOn: '2026-03-03' })).toMatchObject([{ pointer: '#/leftOn', code: 'in-the-future' }])
    const backwards = { exposedFrom: '2026-02-24', exposedTo: '2026-02-22', postedOn: '2026-02-21' }
    expect(await errors(backwards)).toMatchObject([{ pointer: '#/exposedTo' }, { pointer: '#/postedOn' }])
    expect(await errors({ exposedTo: '2026-02-24' })).toMatchObject([{ pointer: '#/exposedFrom', code: 'needed' }])
    const stranger = await aCustomerRow(service.db.pool)
    expect(await errors({ customerId: stranger.id })).toMatchObject([{ pointer: '#/customerId' }])
  })

  it('goes from left to in place, to be posted and posted, as its days are said', async () => {
    const kit = (await leave({ locationId: room })).body
    expect(kit).toMatchObject({ state: 'left', leftWith: 'Mrs Holm', testId: null })
    const say = async (body: object, version: number) => (await app.patch(`/v1/kits/${kit.id}`, body, version)).body
    expect((await say({ exposedFrom: '2026-02-21' }, 1)).state).toBe('in-place')
    expect((await say({ exposedTo: '2026-02-25' }, 2)).state).toBe('to-post')
    expect((await say({ postedOn: '2026-02-26' }, 3)).state).toBe('posted')
    expect((await say({ postedOn: '2026-02-27' }, 4)).errors).toMatchObject([{ pointer: '#/reason' }])
    expect((await say({ postedOn: '2026-02-27', reason: 'Stamped the day after' }, 4)).postedOn).toBe('2026-02-27')
    expect((await say({ returnedOn: '2026-02-28' }, 5)).errors).toMatchObject([{ pointer: '#/returnedOn' }])
  })

  it('comes back unused, or is lost, and may be found again', async () => {
    const unused = (await leave()).body
    expect((await app.patch(`/v1/kits/${unused.id}`, { returnedOn: '2026-03-02' }, 1)).body.state).toBe('returned')
    const gone = (await leave({ number: 'K-2' })).body
    expect((await app.patch(`/v1/kits/${gone.id}`, { lostOn: '2026-03-02' }, 1)).body.state).toBe('lost')
    const found = { lostOn: null, reason: 'Behind the dryer' }
    expect((await app.patch(`/v1/kits/${gone.id}`, found, 2)).body.state).toBe('left')
  })

  it('takes the days and the answer of a test that names its number, and is changed by its version alone', async () => {
    const kit = (await leave()).body
    const test = await app.post(`/v1/properties/${home}/tests`, {
      purpose: 'pre-mitigation',
      method: 'activated-charcoal',
      setAt: '2026-02-21T16:00:00Z',
      pickedUpAt: '2026-02-25T16:00:00Z',
      exposures: [{ deviceId: lot, kitNumber: 'k-1' }],
    })
    const exposed = (await app.get(`/v1/kits/${kit.id}`)).body
    expect(exposed).toMatchObject({
      state: 'to-post',
      exposedFrom: '2026-02-21',
      testId: test.body.test.id,
      version: 1,
    })
    const { id, version, exposures } = test.body.test
    await app.agent
      .post(`/v1/tests/${id}/results`)
      .set('if-match', `"${version}"`)
      .send({
        resultInAt: '2026-03-01T16:00:00Z',
        results: [{ exposureId: exposures[0].id, result: { value: '5.1', unit: 'pCi/L' } }],
      })
      .expect(200)
    expect((await app.get(`/v1/kits/${kit.id}`)).body).toMatchObject({ state: 'answered', answeredOn: '2026-03-01' })
  })

  it('is not there for an app that may not see its home, and is listed for one that may', async () => {
    const kit = (await leave()).body
    const stranger = await service.as.app({ homes: [] })
    expect((await stranger.get(`/v1/kits/${kit.id}`)).status).toBe(404)
    expect((await stranger.get(`/v1/kits?deviceId=${lot}`)).body.items).toEqual([])
    expect((await stranger.patch(`/v1/kits/${kit.id}`, { lostOn: '2026-03-02' }, 1)).status).toBe(404)
    expect((await app.get(`/v1/kits?deviceId=${lot}&propertyId=${home}`)).body.items).toMatchObject([{ id: kit.id }])
  })
})

describe('what the company expects of a kind of kit', () => {
  it('begins with common practice, says so, and is the company’s to change', async () => {
    const { items } = (await app.get('/v1/kit-limits')).body
    expect(items.map((limit: { method: string }) => limit.method)).toEqual([
      'activated-charcoal',
      'alpha-track',
      'electret',
      'liquid-scintillation',
    ])
    expect(items[0]).toMatchObject({ laboratoryWithinDays: 7, source: 'common practice, no source', version: 1 })
    const change = { laboratoryWithinDays: 5, source: 'Sill Creek Laboratory, instructions of 2026' }
    const path = '/v1/kit-limits/activated-charcoal'
    expect((await app.patch(path, change, 2)).status).toBe(412)
    expect((await app.patch(path, { laboratoryWithinDays: 0 }, 1)).status).toBe(422)
    expect((await app.patch(path, change, 1)).body).toMatchObject({ ...change, askAfterDays: 7, version: 2 })
    expect((await app.patch('/v1/kit-limits/unknown', change, 1)).status).toBe(404)
  })
})
