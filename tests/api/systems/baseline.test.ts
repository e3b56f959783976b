import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person, Program } from '../../support/actors.ts'
import { aPropertyRow, type Row } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let app: Program
let office: Person
let home: Row

beforeAll(async () => {
  service = await buildTestApp()
  app = await service.as.app()
  office = await service.as.staff(['office'], { name: 'Ann Berg' })
  home = await aPropertyRow(service.db.pool)
})
afterAll(() => service.close())

const takenOver = { type: 'sub-slab-suction', tag: 'T-9', installedBy: 'another', components: [{ kind: 'fan' }] }
const recorded = async (over: object = {}) =>
  (await app.post(`/v1/properties/${home.id}/systems`, { ...takenOver, ...over }).expect(201)).body.system
const systemNow = async (id: string) => (await app.get(`/v1/systems/${id}`)).body
const textOf = async (path: string) => (await office.get(path)).text.replaceAll(/<[^>]+>/g, '').replaceAll(/\s+/g, ' ')
const adopt = (id: string, fields: object) =>
  office.submit(`/systems/${id}/baseline`, {
    value: '0.8',
    unit: 'in. w.c.',
    'read-by': 'Cora Dahl',
    reason: 'Taken over, the label is bare',
    ...fields,
  })
const words = '0.8 in. w.c., adopted on 2 March 2026 by Ann Berg, not a start-up reading'

it('a start-up value is read by whoever enters it on that day; of one of years ago nobody is taken to have read it', async () => {
  const startUp = async (at: string) => {
    const { id } = await recorded()
    await service.db.pool.query(
      `insert into gauge_reading (id, system_id, role, value, unit, at, staff_id, created_at)
       select gen_random_uuid(), $1, 'start-up', '0.7', 'in. w.c.', $2, s.id, '2026-03-02T15:00:00Z' from staff s where s.name = 'Ann Berg'`,
      [id, at],
    )
    return (await systemNow(id)).baseline.readBy
  }
  expect(await startUp('2026-03-02T14:00:00Z')).toBe('Ann Berg')
  expect(await startUp('2017-12-20T17:00:00Z')).toBe('')
})

describe('a baseline is adopted', () => {
  it('for a system that was taken over: marked as adopted, by whom and when, with who read it and why', async () => {
    const { id, baseline } = await recorded()
    expect(baseline).toBeNull()
    for (const form of ['baseline', 'gauge', 'component'])
      expect((await office.get(`/systems/${id}/${form}`)).text).toMatch(/<p class="under-title">[^<]*, [^<]+<\/p>/)
    expect(await textOf(`/systems/${id}`)).toContain('No start-up value is on record')
    expect((await adopt(id, {})).status).toBe(303)
    expect((await systemNow(id)).baseline).toEqual({
      readingId: expect.any(String),
      role: 'adopted',
      value: '0.8',
      unit: 'in. w.c.',
      at: new Date(service.clock.now()).toISOString(),
      readBy: 'Cora Dahl',
      adoptedAt: new Date(service.clock.now()).toISOString(),
      adoptedBy: 'Ann Berg',
      note: 'Taken over, the label is bare',
    })
  })

  it('and every place that shows it says that it is not a start-up reading', async () => {
    const place = await aPropertyRow(service.db.pool)
    const { id } = (await app.post(`/v1/properties/${place.id}/systems`, takenOver).expect(201)).body.system
    await adopt(id, {})
    const visit = { purpose: 'gauge-check', startsAt: '2026-03-03T16:00:00Z' }
    const planned = (await app.post(`/v1/properties/${place.id}/visits`, visit).expect(201)).body
    const shown = [`/systems/${id}`, `/homes/${place.id}/phone?reported=gauge-changed`, `/visits/${planned.id}`]
    for (const path of [...shown, `/homes/${place.id}/callbacks/new`]) expect(await textOf(path), path).toContain(words)
    expect(await textOf(`/homes/${place.id}`)).toContain('Adopted as the baseline, not a start-up reading')
    const asked = (await app.get(`/v1/properties/${place.id}/first-questions?reported=gauge-changed`)).body
    expect(JSON.stringify(asked)).toContain(words)
  })

  it('and a later reading is held against it with the working, which says what it is held against', async () => {
    const { id } = await recorded()
    await adopt(id, { read: '1 March 2026' })
    const later = { role: 'visit', value: '0.5', unit: 'in. w.c.', at: new Date(service.clock.now()).toISOString() }
    await app.post(`/v1/systems/${id}/gauge-readings`, later).expect(201)
    expect(await textOf(`/systems/${id}`)).toContain(
      '0.5 against 0.8: 0.3 in. w.c. lower than the value adopted on 2 March 2026 by Ann Berg, not a start-up reading',
    )
  })

  it('anew, whatever hour it was read at: the one adopted last holds, and the old one stays on record', async () => {
    const { id } = await recorded()
    await adopt(id, {})
    const earlier = { unit: 'Pa', at: '2026-03-01T12:00:00Z', reason: 'Tube was loose' }
    service.clock.advance(60_000)
    const answer = await app.post(`/v1/systems/${id}/baseline`, { ...earlier, value: '210' }).expect(201)
    expect(answer.body.system.baseline).toMatchObject({ value: '210', unit: 'Pa' })
    expect(answer.body.system.gaugeReadings).toHaveLength(2)
    expect(await textOf(`/systems/${id}`)).toContain('adopted, replaced since')
  })

  it('and taken back by the office with a reason: what held before holds again, the history shows it struck through', async () => {
    const { id } = await recorded()
    await adopt(id, {})
    service.clock.advance(60_000)
    await adopt(id, { value: '3' })
    const { version } = await systemNow(id)
    expect((await office.submit(`/systems/${id}/baseline-undo`, { version, reason: '' })).status).toBe(422)
    const crew = await service.as.crew()
    expect((await crew.submit(`/systems/${id}/baseline-undo`, { version, reason: 'x' })).status).toBe(403)
    await office.submit(`/systems/${id}/baseline-undo`, { version, reason: 'Read at the neighbour’s' }).expect(303)
    expect((await systemNow(id)).baseline).toMatchObject({ value: '0.8' })
    const history = (await office.get(`/homes/${home.id}`)).text.replaceAll(/<(?!\/?del)[^>]+>/g, '')
    expect(history).toMatch(
      /gauge 3 in\. w\.c\.<del>Adopted as the baseline[^<]+<\/del> voided: Read at the neighbour’s/,
    )
  })

  it('not over a start-up value that was read later, and not without a reason', async () => {
    const { id } = await recorded({
      gaugeReadings: [{ role: 'start-up', value: '1.4', unit: 'in. w.c.', at: '2026-02-10T12:00:00Z' }],
    })
    const said = await adopt(id, { read: '1 Feb 2026', reason: '' })
    expect(said.status).toBe(422)
    expect(said.text).toContain('Say why: it is told wherever the value is')
    const early = await adopt(id, { read: '1 Feb 2026' })
    expect(early.status).toBe(422)
    expect(early.text).toContain('lies before the start-up reading')
    expect((await systemNow(id)).baseline).toMatchObject({ role: 'start-up', adoptedAt: null, adoptedBy: null })
  })
})

describe('a passive pipe', () => {
  const pipe = { type: 'passive-stack', active: false, installedBy: 'builder', components: [] }

  it('becomes a driven system on one form: fan, start and adopted baseline', async () => {
    const lone = await aPropertyRow(service.db.pool)
    const { id } = (await app.post(`/v1/properties/${lone.id}/systems`, { ...takenOver, ...pipe })).body.system
    expect(await textOf(`/systems/${id}`)).toContain('Put in a fan')
    const form = {
      version: 1,
      'fan-model': 'Inline fan',
      'fan-serial': 'F-12',
      value: '1,1',
      unit: 'Pa',
    }
    expect((await office.submit(`/systems/${id}/fan`, form)).status).toBe(422)
    await office.submit(`/systems/${id}/fan`, { ...form, type: 'sub-slab-suction' }).expect(303)
    expect(await systemNow(id)).toMatchObject({
      active: true,
      type: 'sub-slab-suction',
      components: [{ kind: 'fan', serial: 'F-12' }],
      events: [{ kind: 'first-start' }],
      baseline: { role: 'adopted', value: '1.1', unit: 'Pa', adoptedBy: 'Ann Berg' },
    })
    const { obligations, system } = (await app.get(`/v1/properties/${lone.id}/standing`)).body
    expect(system).toBe('running')
    expect(obligations.map(({ kind }: { kind: string }) => kind)).toContain('post-mitigation-test')
  })

  it('is not activated twice, and keeps an old start: its fan comes on', async () => {
    const { id } = await recorded({ ...pipe, events: [{ kind: 'first-start', when: { approx: '2019' } }] })
    const fan = { startedAt: '2026-03-01T15:00:00Z', fan: { model: 'Inline fan' } }
    const answer = await app.post(`/v1/systems/${id}/activation`, fan).set('if-match', '"1"').expect(200)
    expect(answer.body.system.events.map(({ kind }: { kind: string }) => kind).sort()).toEqual(['first-start', 'on'])
    expect((await app.post(`/v1/systems/${id}/activation`, fan).set('if-match', '"2"')).status).toBe(422)
    expect((await office.get(`/systems/${id}/fan`)).status).toBe(404)
  })
})
