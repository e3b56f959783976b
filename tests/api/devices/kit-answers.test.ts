import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import type { Person, Program } from '../../support/actors.ts'
import { aLot } from '../../support/monitors.ts'
import { aLocationRow, aPropertyRow } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let app: Program
let office: Person
let lot: string
let home: string
let room: string
let next = 0
let number: string

beforeAll(async () => {
  service = await buildTestApp({ at: '2026-03-02T15:00:00Z' })
  app = await service.as.app()
  office = await service.as.office()
})
afterAll(() => service.close())
beforeEach(async () => {
  number = `K-${++next}`
  lot = await aLot(app, { expiresOn: '2026-12-31' })
  const property = await aPropertyRow(service.db.pool, { street: '12 Kestrel Lane' })
  home = property.id
  room = (await aLocationRow(service.db.pool, property)).id
})

const leave = async (more: object = {}, propertyId = home) => {
  const days = { exposedFrom: '2026-02-21', exposedTo: '2026-02-25', postedOn: '2026-02-26' }
  const kit = { deviceId: lot, number, purpose: 'retest', leftOn: '2026-02-20', locationId: room, ...days, ...more }
  const answer = await app.post(`/v1/properties/${propertyId}/kits`, kit)
  expect(answer.status, answer.text).toBe(201)
  return answer.body
}
const result = { value: '2.2', unit: 'pCi/L' }
const answer = (more: object = {}) => app.post('/v1/kit-answers', { number, result, ...more })

describe('a laboratory’s answer', () => {
  it('is refused where its number fits no kit, two that wait, or one that has its answer', async () => {
    expect((await answer()).body.errors).toMatchObject([{ pointer: '#/number', code: 'number-unknown' }])
    await leave()
    const other = await aLot(app)
    await leave({ deviceId: other })
    const several = (await answer()).body.errors
    expect(several).toMatchObject([{ pointer: '#/number', code: 'number-fits-several' }])
    expect(several[0].detail).toContain('12 Kestrel Lane')
    expect((await answer({ deviceId: other })).status).toBe(201)
    expect((await answer({ deviceId: other })).body.errors).toMatchObject([{ code: 'answered-already' }])
  })

  it('becomes a test of the home, in place on the days that were said, and is the kit’s answer', async () => {
    const kit = await leave()
    const answered = await answer({ number: number.toLowerCase(), laboratory: 'Sill Creek Laboratory' })
    expect(answered).toMatchObject({ status: 201, body: { kitId: kit.id, propertyId: home } })
    const test = (await app.get(`/v1/tests/${answered.body.testId}`)).body
    expect(test).toMatchObject({
      purpose: 'retest',
      method: 'activated-charcoal',
      laboratory: 'Sill Creek Laboratory',
      setAt: '2026-02-21T18:00:00.000Z',
      pickedUpAt: '2026-02-25T18:00:00.000Z',
      exposures: [{ deviceId: lot, kitNumber: number, locationId: room, result: { value: '2.2' } }],
    })
    expect((await app.get(`/v1/kits/${kit.id}`)).body).toMatchObject({
      state: 'answered',
      answeredOn: '2026-03-02',
      testId: test.id,
    })
  })

  it('goes by the laboratory’s own days where it gives them', async () => {
    await leave({ exposedFrom: null, exposedTo: null, postedOn: null })
    const days = { exposedFrom: '2026-02-22', exposedTo: '2026-02-24' }
    const { testId } = (await answer(days)).body
    expect((await app.get(`/v1/tests/${testId}`)).body.exposures[0].stopAt).toBe('2026-02-24T18:00:00.000Z')
    expect((await answer({ exposedFrom: '2026-02-24', exposedTo: '2026-02-22' })).status).toBe(422)
  })

  it('is the result of the test that waits for it, when one was set with the kit', async () => {
    const set = await app.post(`/v1/properties/${home}/tests`, {
      purpose: 'pre-mitigation',
      method: 'activated-charcoal',
      setAt: '2026-02-21T16:00:00Z',
      pickedUpAt: '2026-02-25T16:00:00Z',
      exposures: [{ deviceId: lot, kitNumber: number }],
    })
    const answered = (await answer()).body
    expect(answered).toEqual({ kitId: null, propertyId: home, testId: set.body.test.id })
    const { exposures, resultInAt } = (await app.get(`/v1/tests/${answered.testId}`)).body
    expect(exposures[0].result.value).toBe('2.2')
    expect(resultInAt).toBe('2026-03-02T15:00:00.000Z')
  })

  it('is known by its number alone, too, where a test of the home names it without the lot', async () => {
    const kit = await leave()
    const read = await app.post(`/v1/properties/${home}/tests`, {
      purpose: 'retest',
      method: 'activated-charcoal',
      resultInAt: '2026-03-01T18:00:00Z',
      exposures: [{ kitNumber: number, result }],
    })
    expect((await app.get(`/v1/kits/${kit.id}`)).body).toMatchObject({ state: 'answered', testId: read.body.test.id })
  })

  it('is taken once of two at once', async () => {
    await leave()
    const answers = await Promise.all([answer(), answer()])
    expect(answers.map(one => one.status).sort()).toEqual([201, 422])
    expect((await app.get(`/v1/tests?propertyId=${home}`)).body.items).toHaveLength(1)
  })

  it('finds no kit of a home that the app may not see', async () => {
    await leave()
    const stranger = await service.as.app({ homes: [] })
    const said = await stranger.post('/v1/kit-answers', { number, result })
    expect(said.body.errors).toMatchObject([{ code: 'number-unknown' }])
  })

  it('is typed off the paper: the page says what does not fit, and leads to the test', async () => {
    await leave()
    const typed = { number: 'no such kit', result: '2.2', unit: 'pCi/L' }
    const back = await office.submit('/kits/answer', typed)
    expect(back.status).toBe(422)
    expect(back.text).toContain('No kit with this number has left the shop')
    const kept = await office.submit('/kits/answer', { ...typed, number })
    expect(kept.headers.location).toMatch(/^\/tests\//)
  })
})
