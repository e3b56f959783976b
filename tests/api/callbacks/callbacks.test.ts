import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Program } from '../../support/actors.ts'
import { aPropertyRow, aSystemRow, type Row } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let app: Program
let home: Row

beforeAll(async () => {
  service = await buildTestApp()
  app = await service.as.app()
  home = await aPropertyRow(service.db.pool)
})
afterAll(() => service.close())

const taken = async (over: object = {}) =>
  app.post(`/v1/properties/${home.id}/callbacks`, { complaint: 'gauge-at-zero', description: 'no pull', ...over })

describe('a callback', () => {
  it('is refused about a system of another home, and reported tomorrow', async () => {
    const foreign = await aSystemRow(service.db.pool, await aPropertyRow(service.db.pool))
    const answer = await taken({ systemId: foreign.id, reportedAt: '2031-01-01T00:00:00Z' })
    expect(answer.status).toBe(422)
    expect(answer.body.errors.map((fault: { pointer: string }) => fault.pointer).sort()).toEqual([
      '#/reportedAt',
      '#/systemId',
    ])
  })

  it('is not there for an app whose grant leaves the home out', async () => {
    const { id } = (await taken()).body
    const other = await service.as.app({ homes: [] })
    expect((await other.get(`/v1/callbacks/${id}`)).status).toBe(404)
    expect((await other.get('/v1/callbacks')).body.items).toEqual([])
  })

  it('has a number of its own to say on the phone, and is open until it is closed with what was found and done', async () => {
    const [first, second] = [(await taken()).body, (await taken()).body]
    expect(second.number).toBe(first.number + 1)
    const open = await app.get(`/v1/callbacks?propertyId=${home.id}&open=true`)
    expect(open.body.items.map((one: { id: string }) => one.id)).toContain(second.id)
    const closing = { found: 'Breaker tripped', done: 'Reset, fan runs' }
    expect((await app.post(`/v1/callbacks/${second.id}/closing`, { found: '' }).set('if-match', '"1"')).status).toBe(
      422,
    )
    const closed = await app.post(`/v1/callbacks/${second.id}/closing`, closing).set('if-match', '"1"')
    expect(closed.body).toMatchObject({ ...closing, version: 2 })
    expect(closed.body.closedAt).not.toBeNull()
    const again = await app
      .post(`/v1/callbacks/${second.id}/reopening`, { reason: 'tripped again' })
      .set('if-match', '"2"')
    expect(again.body.closedAt).toBeNull()
  })
})
