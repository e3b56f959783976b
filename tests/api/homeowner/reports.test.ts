import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { keepReport } from '../../../src/features/homeowner/keep-report.ts'
import { liveLink } from '../../../src/features/homeowner/queries.ts'
import type { ReportKind } from '../../../src/features/homeowner/read-report.ts'
import { insertLinks } from '../../../src/platform/auth/link-queries.ts'
import type { Person } from '../../support/actors.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'
import { aWholeHome, type Home } from '../../support/world.ts'

let app: TestApp
let home: Home
let office: Person

beforeAll(async () => {
  app = await buildTestApp()
  home = await aWholeHome(await app.as.app(), 'Alder')
  office = await app.as.office()
})
afterAll(() => app.close())

/** Keeps a report as the page behind the mail does. */
async function aReport(kind: ReportKind, body: Record<string, unknown>): Promise<string> {
  const now = app.clock.now()
  return app.db.transaction(async tx => {
    const link = { propertyId: home.property, customerId: home.customer, purpose: 'reminder' }
    const [linkId] = await insertLinks(tx, now, [link])
    const open = (await liveLink(tx, linkId!, now))!
    const actor = { kind: 'homeowner', id: home.customer, linkId: linkId!, propertyId: home.property } as const
    return keepReport(tx, { actor, now, requestId: 'test' }, open, { kind, body })
  })
}
const report = async (id: string) =>
  (
    await app.db.pool.query(
      'select state, accepted_as as "as", accepted_id as made from homeowner_report where id = $1',
      [id],
    )
  ).rows[0]

describe('what a homeowner sent', () => {
  test.each<[ReportKind, Record<string, unknown>, Record<string, unknown>, string, string]>([
    [
      'visit-request',
      { halfDays: ['mon-morning'], note: 'after nine' },
      { on: '9 March 2026', 'on-time': '10:00' },
      'visit',
      'visit',
    ],
    [
      'own-result',
      { value: '3.9', unit: 'pCi/L', startedOn: '2026-02-20', endedOn: '2026-02-24' },
      { method: 'activated-charcoal', set: '2026-02-20', 'picked-up': '2026-02-24' },
      'test',
      'test',
    ],
    ['alarm', { what: 'alarm', note: 'since the storm' }, {}, 'callback', 'callback'],
  ])('as %s is on the list and becomes a record when it is taken up', async (kind, body, fields, noun, table) => {
    const id = await aReport(kind, body)
    expect((await office.get('/reports')).text).toContain(`/reports/${id}`)
    expect((await office.get(`/reports/${id}`)).status).toBe(200)
    const answer = await office.submit(`/reports/${id}/accept`, { version: 1, ...fields })
    expect([answer.status, answer.text.slice(0, 400)]).toEqual([303, ''])
    const settled = await report(id)
    expect(settled).toMatchObject({ state: 'accepted', as: noun })
    const { rows } = await app.db.pool.query(`select property_id from ${table} where id = $1`, [settled.made])
    expect(rows).toEqual([{ property_id: home.property }])
  })

  const ownResult = { value: '3.9', unit: 'pCi/L', startedOn: '2026-02-20', endedOn: '2026-02-24', device: 'a kit' }

  test.each(['continuous-monitor', 'activated-charcoal', 'electret', 'alpha-track', 'liquid-scintillation', 'unknown'])(
    'as a result measured by %s is offered and recorded as such, with its start and end',
    async method => {
      const id = await aReport('own-result', ownResult)
      const shown = (await office.get(`/reports/${id}`)).text
      expect(shown).toContain(`<option value="${method}"`)
      expect(shown).toMatch(/name="set"[^>]*value="2026-02-20"/)
      const fields = { method, set: '2026-02-20', 'set-time': '9:00', 'picked-up': '2026-02-25' }
      expect((await office.submit(`/reports/${id}/accept`, { version: 1, ...fields })).status).toBe(303)
      const { made } = await report(id)
      const { rows } = await app.db.pool.query(
        'select t.method, t.source, x.start_at as start, x.stop_at as stop from test t join exposure x on x.test_id = t.id where t.id = $1',
        [made],
      )
      expect(rows).toEqual([{ method, source: 'homeowner', start: expect.anything(), stop: expect.anything() }])
      expect(rows[0].stop - rows[0].start).toBe((5 * 24 + 3) * 3_600_000)
      expect((await office.get(`/tests/${made}`)).status).toBe(200)
    },
  )

  test('as a result that ends before it begins, or after it was sent, comes back with the fault at the end', async () => {
    const id = await aReport('own-result', ownResult)
    for (const end of ['2026-02-19', '2026-12-24']) {
      const fields = { method: 'unknown', set: '2026-02-20', 'picked-up': end }
      const answer = await office.submit(`/reports/${id}/accept`, { version: 1, ...fields })
      expect(answer.status).toBe(422)
      expect(answer.text).toMatch(/id="field-picked-up"[^>]*aria-invalid="true"/)
    }
    expect(await report(id)).toMatchObject({ state: 'new' })
  })

  test('as a wish for a visit carries the half-days that suit them to whoever goes', async () => {
    const id = await aReport('visit-request', { halfDays: ['mon-morning', 'thu-afternoon'], note: 'ring twice' })
    expect((await office.get(`/reports/${id}`)).text).toContain('Monday morning, Thursday afternoon')
    await office.submit(`/reports/${id}/accept`, { version: 1, on: '9 March 2026', 'on-time': '10:00' })
    const planned = (await office.get(`/visits/${(await report(id)).made}`)).text
    expect(planned).toContain('ring twice')
    expect(planned).toContain('Suits them: Monday morning, Thursday afternoon.')
  })

  const when = { on: '9 March 2026', 'on-time': '10:00' }
  const purposeOf = async (reportId: string) =>
    (await app.db.pool.query('select purpose from visit where id = $1', [(await report(reportId)).made])).rows[0]

  test.each<[string, { purpose?: string }, { purpose?: string }, string]>([
    ['what was wished for', { purpose: 'set-device' }, {}, 'set-device'],
    ['what the office chose instead', { purpose: 'callback' }, { purpose: 'paid-service-call' }, 'paid-service-call'],
    ['another one where the wish says none', {}, {}, 'other'],
  ])('as a wish for a visit becomes a visit whose purpose is %s', async (_, wish, chosen, purpose) => {
    const id = await aReport('visit-request', { halfDays: [], ...wish })
    const { text } = await office.get(`/reports/${id}`)
    expect(text).toContain(`<option value="${wish.purpose ?? 'other'}" selected`)
    expect((await office.submit(`/reports/${id}/accept`, { version: 1, ...when, ...chosen })).status).toBe(303)
    expect(await purposeOf(id)).toEqual({ purpose })
  })

  test('as a wish for a visit comes back with the fault when its purpose is none of the listed', async () => {
    const id = await aReport('visit-request', { halfDays: [] })
    const answer = await office.submit(`/reports/${id}/accept`, { version: 1, ...when, purpose: 'tea' })
    expect(answer.status).toBe(422)
    expect(answer.text).toMatch(/id="field-purpose"[^>]*aria-invalid="true"/)
  })

  test('as a gauge reading becomes a reading of the system, marked as reported', async () => {
    const id = await aReport('gauge-reading', { value: '0.8', unit: 'in. w.c.', systemId: home.system })
    expect((await office.submit(`/reports/${id}/accept`, { version: 1 })).status).toBe(303)
    const { rows } = await app.db.pool.query('select role, value from gauge_reading where system_id = $1', [
      home.system,
    ])
    expect(rows).toEqual([{ role: 'reported', value: '0.8' }])
  })

  test('without what the office has to add comes back with the fault', async () => {
    const id = await aReport('visit-request', { halfDays: [] })
    const answer = await office.submit(`/reports/${id}/accept`, { version: 1, on: 'some day' })
    expect(answer.status).toBe(422)
    expect(await report(id)).toMatchObject({ state: 'new' })
  })

  test('can be laid aside, and that taken back', async () => {
    const id = await aReport('alarm', { what: 'noise' })
    await office.submit(`/reports/${id}/dismiss`, { version: 1 })
    expect(await report(id)).toMatchObject({ state: 'dismissed' })
    await office.submit(`/reports/${id}/reopen`, { version: 2 })
    expect(await report(id)).toMatchObject({ state: 'new' })
  })

  test('is settled once, by whoever read it last', async () => {
    const id = await aReport('alarm', { what: 'noise' })
    await office.submit(`/reports/${id}/dismiss`, { version: 1 })
    expect((await office.submit(`/reports/${id}/accept`, { version: 1 })).status).toBe(412)
  })

  test('as having moved gives the home a new owner and closes the old links', async () => {
    const id = await aReport('moved', { on: '2026-03-01', newOwner: 'Bo Buyer', newEmail: '' })
    const answer = await office.submit(`/reports/${id}/accept`, { version: 1, newOwner: 'Bo Buyer', newEmail: '' })
    expect(answer.status).toBe(303)
    const { rows } = await app.db.pool.query(
      'select count(*)::int as open from homeowner_link where property_id = $1 and revoked_at is null',
      [home.property],
    )
    expect(rows[0].open).toBe(0)
  })
})
