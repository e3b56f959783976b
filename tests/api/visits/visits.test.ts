import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person, Program } from '../../support/actors.ts'
import { day } from '../../support/clock.ts'
import { aPropertyRow, type Row } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let app: Program
let crew: Person
let home: Row

beforeAll(async () => {
  service = await buildTestApp()
  app = await service.as.app()
  crew = await service.as.crew()
  home = await aPropertyRow(service.db.pool, { gate_code: '4711#' })
})
afterAll(() => service.close())

const planned = async (over: object = {}) =>
  app.post(`/v1/properties/${home.id}/visits`, { purpose: 'gauge-check', startsAt: '2026-03-03T15:00:00Z', ...over })

describe('a visit', () => {
  it('is refused when it ends before it starts or names somebody who is not there', async () => {
    const answer = await planned({ endsAt: '2026-03-03T14:00:00Z', crew: ['019a0000-0000-7000-8000-000000000000'] })
    expect(answer.status).toBe(422)
    expect(answer.body.errors.map((fault: { pointer: string }) => fault.pointer).sort()).toEqual([
      '#/crew/0',
      '#/endsAt',
    ])
  })

  it('opens the home to its crew, and closes it again some days after', async () => {
    expect((await crew.get(`/homes/${home.id}`)).status).toBe(404)
    const made = await planned({ crew: [crew.id] })
    expect(made.status).toBe(201)
    expect(made.body).not.toHaveProperty('gateCode')
    expect((await crew.get(`/homes/${home.id}`)).status).toBe(200)
    const page = await crew.get(`/visits/${made.body.id}`)
    expect(page.text).toContain('4711#')
    service.clock.advance(40 * day)
    const later = await service.as.staff(['crew'], {})
    expect((await later.get(`/homes/${home.id}`)).status).toBe(404)
    const seen = await service.db.pool.query(`select * from visible_home('staff', $1, $2)`, [
      crew.id,
      new Date(service.clock.now()),
    ])
    expect(seen.rowCount).toBe(0)
    service.clock.advance(-40 * day)
  })

  it('stands in the crew’s day in its order, and says how it went', async () => {
    const late = await planned({ crew: [crew.id], startsAt: '2026-03-04T20:00:00Z', instructions: 'the late one' })
    await planned({ crew: [crew.id], startsAt: '2026-03-04T14:00:00Z', instructions: 'the early one' })
    const text = (await crew.get('/day?on=2026-03-04')).text
    expect(text.indexOf('the early one')).toBeGreaterThan(0)
    expect(text.indexOf('the early one')).toBeLessThan(text.indexOf('the late one'))
    const sent = await crew.submit(`/visits/${late.body.id}/report`, { version: 1, outcome: 'done', note: 'all well' })
    expect(sent.status).toBe(303)
    expect((await app.get(`/v1/visits/${late.body.id}`)).body).toMatchObject({
      outcome: 'done',
      outcomeNote: 'all well',
    })
  })
})
