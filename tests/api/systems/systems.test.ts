import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Program } from '../../support/actors.ts'
import { aPropertyRow, type Row } from '../../support/rows.ts'
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

const started = '2026-02-10T15:00:00-06:00'
const system = {
  type: 'sub-slab-suction',
  tag: 'AF-1',
  installedBy: 'us',
  components: [{ kind: 'fan', model: 'inline fan', serial: 'F-9', installed: { at: started } }],
  events: [{ kind: 'first-start', when: { at: started } }],
  gaugeReadings: [{ role: 'start-up', value: '1.35', unit: 'in. w.c.', at: started }],
}
const installed = async (over: object = {}) => app.post(`/v1/properties/${home.id}/systems`, { ...system, ...over })

describe('a system is refused', () => {
  it('at a home outside the grant, and without the scope', async () => {
    const other = await service.as.app({ homes: [] })
    expect((await other.post(`/v1/properties/${home.id}/systems`, system)).status).toBe(404)
    const reader = await service.as.app({ scopes: ['systems:read'] })
    expect((await reader.post(`/v1/properties/${home.id}/systems`, system)).status).toBe(403)
  })

  it('with a part removed before it came, a start in the future and a date that is none', async () => {
    const answer = await installed({
      components: [{ kind: 'fan', installed: { at: started }, removed: { at: '2026-02-01T00:00:00Z' } }],
      events: [{ kind: 'first-start', when: { at: '2031-01-01T00:00:00Z' } }],
    })
    expect(answer.status).toBe(422)
    expect(answer.body.errors.map((fault: { pointer: string }) => fault.pointer)).toEqual([
      '#/components/0/removed/at',
      '#/events/0/when/at',
    ])
    const rough = await installed({ components: [{ kind: 'fan', installed: { approx: 'spring 2011' } }] })
    expect(rough.body.errors).toMatchObject([{ pointer: '#/components/0/installed/approx' }])
  })
})

describe('a system', () => {
  it('is recorded with its parts, and the home owes a post-mitigation test within 30 days of the start', async () => {
    const answer = await installed()
    expect(answer.status).toBe(201)
    expect(answer.body.system).toMatchObject({ tag: 'AF-1', version: 1, components: [{ serial: 'F-9' }] })
    const owed = answer.body.standing.obligations.find((one: { kind: string }) => one.kind === 'post-mitigation-test')
    expect(owed).toMatchObject({ dueOn: '2026-03-12' })
    expect(answer.body.standing.system).toBe('running')
  })

  it('keeps a rough date as it was said, and an unknown one unknown', async () => {
    const answer = await installed({
      components: [{ kind: 'fan', installed: { approx: '2011-21' } }, { kind: 'alarm' }],
      events: [],
    })
    expect(answer.body.system.components.map((part: { installed: object }) => part.installed)).toEqual(
      expect.arrayContaining([
        { at: null, approx: '2011-21' },
        { at: null, approx: null },
      ]),
    )
  })

  it('takes a gauge reading as a dated fact, and counts it in its version', async () => {
    const { id } = (await installed()).body.system
    const reading = { role: 'visit', value: '-0.05', unit: 'in. w.c.', at: '2026-02-20T10:00:00-06:00' }
    const answer = await app.post(`/v1/systems/${id}/gauge-readings`, reading)
    expect(answer.status).toBe(201)
    expect(answer.body.system.version).toBe(2)
    expect(answer.body.system.gaugeReadings.at(-1)).toMatchObject({ value: '-0.05', role: 'visit' })
  })

  it('refuses a correction of an old version and keeps the old values of a good one', async () => {
    const { id } = (await installed()).body.system
    expect((await app.patch(`/v1/systems/${id}`, { tag: 'AF-2', reason: 'misread' }, 7)).status).toBe(412)
    const answer = await app.patch(`/v1/systems/${id}`, { tag: 'AF-2', reason: 'misread' }, 1)
    expect(answer.body.system).toMatchObject({ tag: 'AF-2', version: 2 })
    const kept = await service.db.pool.query('select was from fact_revision where noun_id = $1', [id])
    expect(kept.rows[0].was).toMatchObject({ tag: 'AF-1' })
  })

  it('lets a component be dated out, and a wrong part be voided', async () => {
    const { id, components, gaugeReadings } = (await installed()).body.system
    const removal = { removed: { at: '2026-02-25T09:00:00-06:00' }, removalReason: 'seized', reason: 'replaced' }
    const out = await app.patch(`/v1/systems/${id}/components/${components[0].id}`, removal, 1)
    expect(out.body.system.components[0].removed.at).toBe('2026-02-25T15:00:00.000Z')
    const voided = await app
      .post(`/v1/systems/${id}/parts/gauge-reading/${gaugeReadings[0].id}/void`, { reason: 'other house' })
      .set('if-match', '"2"')
    expect(voided.body.system.gaugeReadings).toEqual([])
  })

  it('counts for nothing once voided', async () => {
    const lone = await aPropertyRow(service.db.pool)
    const { id } = (await app.post(`/v1/properties/${lone.id}/systems`, system)).body.system
    const answer = await app.post(`/v1/systems/${id}/void`, { reason: 'wrong home' }).set('if-match', '"1"')
    expect(answer.body.standing.system).toBe('none')
    expect((await app.get(`/v1/systems/${id}`)).body.voidReason).toBe('wrong home')
  })
})
