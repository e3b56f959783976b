import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Program } from '../../support/actors.ts'
import { aLocationRow, aPropertyRow, type Row } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let app: Program
let home: Row
let room: Row

// The home's clock is Chicago's; the service's clock stands at noon of 2 March 2026 UTC.
const setAt = '2026-02-20T09:00:00-06:00'
const hours = (count: number, value = '3.0') => Array.from({ length: count }, () => value)
const monitor = (values: readonly (string | null)[], over: object = {}) => ({
  purpose: 'real-estate',
  method: 'continuous-monitor',
  setAt,
  closedSince: '2026-02-19T18:00:00-06:00',
  closedDuring: 'yes',
  resultInAt: '2026-02-25T09:00:00-06:00',
  exposures: [{ locationId: room.id, record: { startAt: setAt, intervalMinutes: 60, unit: 'pCi/L', values } }],
  ...over,
})

beforeAll(async () => {
  service = await buildTestApp()
  app = await service.as.app()
  home = await aPropertyRow(service.db.pool)
  room = await aLocationRow(service.db.pool, home)
})
afterAll(() => service.close())

const recorded = async (body: object) => app.post(`/v1/properties/${home.id}/tests`, body)
const codes = (answer: { body: { test: { evaluation: { findings: { code: string; effect: string }[] } } } }) =>
  answer.body.test.evaluation.findings.filter(one => one.effect === 'invalidates').map(one => one.code)

describe('a test is refused', () => {
  it('without the scope, and at a home outside the grant as at one that is not there', async () => {
    const reader = await service.as.app({ scopes: ['tests:read'] })
    expect((await reader.post(`/v1/properties/${home.id}/tests`, monitor(hours(50)))).status).toBe(403)
    const other = await service.as.app({ homes: [] })
    const foreign = await other.post(`/v1/properties/${home.id}/tests`, monitor(hours(50)))
    const missing = await other.post('/v1/properties/019a0000-0000-7000-8000-000000000000/tests', monitor(hours(50)))
    expect([foreign.status, missing.status]).toEqual([404, 404])
  })

  it('when its facts contradict each other, every contradiction named', async () => {
    const answer = await recorded(
      monitor(hours(50), { pickedUpAt: '2026-02-19T09:00:00-06:00', resultInAt: '2030-01-01T00:00:00Z' }),
    )
    expect(answer.status).toBe(422)
    const pointers = answer.body.errors.map((fault: { pointer: string }) => fault.pointer)
    expect(pointers).toContain('#/pickedUpAt')
    expect(pointers).toContain('#/resultInAt')
  })

  it('with a result beside a record, and with a room of another home', async () => {
    const elsewhere = await aLocationRow(service.db.pool, await aPropertyRow(service.db.pool))
    const record = { startAt: setAt, intervalMinutes: 60, unit: 'pCi/L', values: hours(50) }
    const both = await recorded(
      monitor([], { exposures: [{ locationId: elsewhere.id, record, result: { value: '3.0', unit: 'pCi/L' } }] }),
    )
    expect(both.status).toBe(422)
    const faults = both.body.errors.map((fault: { code: string }) => fault.code)
    expect(faults).toEqual(expect.arrayContaining(['two-results', 'unknown-reference']))
  })
})

describe('a monitor record', () => {
  it('of 48 hours leaves 44 usable after the first four, and is valid', async () => {
    const answer = await recorded(monitor(hours(48)))
    expect(answer.status).toBe(201)
    expect(codes(answer)).toEqual([])
    const [exposure] = answer.body.test.evaluation.exposures
    expect(exposure).toMatchObject({ fromSeries: true, result: { value: '3.0', unit: 'pCi/L' } })
    expect(Date.parse(exposure.usableTo) - Date.parse(exposure.usableFrom)).toBe(44 * 3_600_000)
  })

  it('of 47 hours is kept, answered with 201, and invalid with the clause that says so', async () => {
    const answer = await recorded(monitor(hours(47)))
    expect(answer.status).toBe(201)
    expect(codes(answer)).toContain('duration')
    expect(answer.body.test.evaluation.validity).toBe('invalid')
    const finding = answer.body.test.evaluation.findings.find((one: { code: string }) => one.code === 'duration')
    expect(finding.rule.clause).not.toBe('')
  })

  it('with a gap that leaves no 44 contiguous hours is invalid', async () => {
    const answer = await recorded(monitor([...hours(30), null, null, ...hours(30)]))
    expect(codes(answer)).toContain('contiguous-hours')
  })
})

describe('a test in the order it happens', () => {
  it('exists from the moment a device is set, and owes its pick-up', async () => {
    const answer = await recorded({
      purpose: 'pre-mitigation',
      method: 'activated-charcoal',
      setAt: '2026-02-26T10:00:00-06:00',
      exposures: [{ locationId: room.id, kitNumber: 'K-1' }],
    })
    expect(answer.status).toBe(201)
    expect(answer.body.test.evaluation.stage).toBe('set')
    expect(answer.body.standing.obligations.map((one: { kind: string }) => one.kind)).toContain('pick-up')
  })

  it('is picked up, sent, and gets its result, each with the version that was read', async () => {
    const made = await recorded({
      purpose: 'follow-up',
      method: 'activated-charcoal',
      setAt: '2026-02-20T10:00:00-06:00',
      closedSince: '2026-02-19T10:00:00-06:00',
      exposures: [{ locationId: room.id }],
    })
    const { id, exposures } = made.body.test
    const step = (path: string, body: object, version: number) =>
      app.post(`/v1/tests/${id}/${path}`, body).set('if-match', `"${version}"`)
    expect((await step('pick-up', { pickedUpAt: '2026-02-24T10:00:00-06:00' }, 9)).status).toBe(412)
    const up = await step('pick-up', { pickedUpAt: '2026-02-24T10:00:00-06:00', closedDuring: 'yes' }, 1)
    expect(up.body.test.evaluation.stage).toBe('picked-up')
    const sent = await step('laboratory', { sentToLabAt: '2026-02-24T15:00:00-06:00', laboratory: 'Sill Creek' }, 2)
    expect(sent.body.test.evaluation.stage).toBe('at-laboratory')
    const results = {
      resultInAt: '2026-02-27T12:00:00Z',
      results: [{ exposureId: exposures[0].id, result: { value: '2.5', unit: 'pCi/L' } }],
    }
    const done = await step('results', results, 3)
    expect(done.body.test.evaluation).toMatchObject({ stage: 'result-in' })
    const silently = await step('results', results, 4)
    expect(silently.body.errors).toMatchObject([{ pointer: '#/reason', code: 'reason-needed' }])
    const accepted = await app.post(`/v1/tests/${id}/acceptance`).set('if-match', '"4"')
    expect(accepted.body.test.acceptedAt).not.toBeNull()
  })

  it('keeps what a correction replaced, and counts for nothing once voided', async () => {
    const lone = await aPropertyRow(service.db.pool)
    const cellar = await aLocationRow(service.db.pool, lone)
    const exposures = [
      {
        locationId: cellar.id,
        record: { startAt: setAt, intervalMinutes: 60, unit: 'pCi/L', values: hours(60, '9.0') },
      },
    ]
    const made = await app.post(`/v1/properties/${lone.id}/tests`, monitor([], { exposures }))
    const { id } = made.body.test
    expect(made.body.standing.verdict.outcome).toBe('at-or-above')
    const patch = await app.patch(`/v1/tests/${id}`, { closedDuring: 'no', reason: 'the window was open' }, 1)
    expect(patch.body.test).toMatchObject({ closedDuring: 'no', version: 2 })
    const kept = await service.db.pool.query('select was, reason from fact_revision where noun_id = $1', [id])
    expect(kept.rows[0]).toMatchObject({ was: { closedDuring: 'yes' }, reason: 'the window was open' })
    const voided = await app.post(`/v1/tests/${id}/void`, { reason: 'the neighbour’s' }).set('if-match', '"2"')
    expect(voided.body.test.voidedAt).not.toBeNull()
    expect(voided.body.standing.tests.map((one: { testId: string }) => one.testId)).not.toContain(id)
  })
})

describe('reading tests', () => {
  it('answers 304 to who has the version, and lists a home’s newest first', async () => {
    const list = await app.get(`/v1/tests?propertyId=${home.id}&limit=2`)
    expect(list.body.items).toHaveLength(2)
    expect(list.body.next).not.toBeNull()
    const one = await app.get(`/v1/tests/${list.body.items[0].id}`)
    const again = await app.get(`/v1/tests/${list.body.items[0].id}`).set('if-none-match', String(one.headers.etag))
    expect(again.status).toBe(304)
  })

  it('is written down when an app looks', async () => {
    const { items } = (await app.get(`/v1/tests?propertyId=${home.id}&limit=1`)).body
    await app.get(`/v1/tests/${items[0].id}`)
    const lines = await service.db.pool.query(`select 1 from audit where action = 'read' and noun_id = $1`, [
      items[0].id,
    ])
    expect(lines.rowCount).toBeGreaterThan(0)
  })
})
