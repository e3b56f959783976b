import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person, Program } from '../../support/actors.ts'
import { day } from '../../support/clock.ts'
import { aPropertyRow, type Row } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'
import { aWholeHome, type Home } from '../../support/world.ts'

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

describe('a crew in hand of a visit', () => {
  let visited: Home
  let visitId: string
  const asked = { purpose: 'return-trip', starts: '2026-03-10', 'starts-time': '9:00', instructions: 'bring sealant' }

  beforeAll(async () => {
    visited = await aWholeHome(app, 'Tamarack')
    const visit = await app.post(`/v1/properties/${visited.property}/visits`, {
      purpose: 'pick-up-device',
      startsAt: '2026-03-03T15:00:00Z',
      crew: [crew.id],
    })
    visitId = visit.body.id
    await app.post(`/v1/properties/${visited.property}/tests`, {
      purpose: 'retest',
      method: 'continuous-monitor',
      setAt: '2026-03-01T15:00:00Z',
      exposures: [{ locationId: visited.location, deviceId: visited.device }],
    })
  })

  it('sees the device that stands there, its pick-up, the gauge’s form and whom to phone', async () => {
    const { text } = await crew.get(`/visits/${visitId}`)
    expect(text).toContain('Tamarack-9')
    expect(text).toContain(' in Tamarack family room')
    expect(text).toMatch(/href="\/tests\/[\da-f-]{36}\/pick-up"/)
    expect(text).toContain(`href="/systems/${visited.system}/gauge"`)
    expect(text).toContain('<a href="tel:+12185550147">(218) 555-0147</a>')
  })

  it('sees no number where the owner of the company keeps them to the office', async () => {
    await service.db.pool.query(`update company set crew_sees = 'without-contacts'`)
    try {
      const { text } = await crew.get(`/visits/${visitId}`)
      expect(text).not.toContain('555-0147')
      expect(text).toContain('Tamarack Owner')
    } finally {
      await service.db.pool.query(`update company set crew_sees = 'whole-home'`)
    }
  })

  it('asks for the next visit, which waits on the office’s ledger until somebody is said to go', async () => {
    const office = await service.as.office()
    const page = `/homes/${visited.property}/visits/new`
    expect((await crew.get(`/visits/${visitId}`)).text).toContain(`href="${page}"`)
    const form = await crew.get(page)
    expect(form.text).not.toContain('Who goes')
    expect(form.text).toMatch(/<p class="under-title">[^<]*, [^<]+<\/p>/)
    // Naming itself does not help: whoever is assigned sees the home for longer, which is the office's to give.
    const sent = await crew.submit(page, { ...asked, crew: crew.id })
    expect(sent.status).toBe(303)
    const id = sent.headers.location!.split('/').at(-1)
    expect((await app.get(`/v1/visits/${id}`)).body).toMatchObject({ purpose: 'return-trip', crew: [] })

    expect((await office.get('/')).text).toContain(`href="/visits/${id}/change"`)
    expect((await crew.get(`/visits/${id}/change`)).status).toBe(403)
    expect((await office.get(`/visits/${id}/change`)).text).toContain('value="2026-03-10"')
    const change = { ...asked, starts: '2026-03-11', crew: crew.id, version: 1 }
    expect((await office.submit(`/visits/${id}/change`, change)).status).toBe(303)
    expect((await app.get(`/v1/visits/${id}`)).body).toMatchObject({
      startsAt: '2026-03-11T14:00:00.000Z',
      crew: [{ id: crew.id }],
    })
    expect((await office.get('/')).text).not.toContain(`href="/visits/${id}/change"`)
    expect((await crew.get('/day?on=2026-03-11')).text).toContain('bring sealant')
  })

  it('cannot ask for a visit to a home it does not see', async () => {
    const elsewhere = await aPropertyRow(service.db.pool)
    expect((await crew.submit(`/homes/${elsewhere.id}/visits/new`, asked)).status).toBe(404)
  })

  it('is changed by who read it last', async () => {
    const office = await service.as.office()
    const stale = await office.submit(`/visits/${visitId}/change`, { ...asked, version: 9 })
    expect(stale.status).toBe(412)
  })
})
