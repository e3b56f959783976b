import { afterAll, beforeAll, expect, it } from 'vitest'
import type { Person, Program } from '../../support/actors.ts'
import { aLot, aMonitor } from '../../support/monitors.ts'
import { aCustomerRow, anAssignment, anOwnership, aPropertyRow, aVisitRow } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let app: Program
let office: Person

beforeAll(async () => {
  service = await buildTestApp({ at: '2026-03-02T15:00:00Z' })
  app = await service.as.app()
  office = await service.as.office()
})
afterAll(() => service.close())

const words = (html: string) => html.replace(/<[^>]+>/g, ' ').replace(/\s+/g, ' ')

it('lists what has to be run after, the most urgent first, with whom to call, and counts what is out', async () => {
  const nothing = await office.get('/chase')
  expect(nothing.text).toContain('Nothing has to be chased')
  expect((await office.get('/')).text).not.toContain('to chase')

  const owner = await aCustomerRow(service.db.pool, { name: 'Ann Holm', phone: '(218) 555-0147' })
  const property = await aPropertyRow(service.db.pool, { street: '12 Kestrel Lane' })
  await anOwnership(service.db.pool, property, owner)
  const lot = await aLot(app)
  const kit = (number: string, more: object) =>
    app.post(`/v1/properties/${property.id}/kits`, {
      deviceId: lot,
      number,
      purpose: 'retest',
      leftOn: '2026-01-20',
      ...more,
    })
  await kit('K-old', { leftOn: '2026-02-21' })
  await kit('K-fresh', { leftOn: '2026-02-28' })
  await kit('K-exposed', { exposedFrom: '2026-02-20', exposedTo: '2026-02-25' })
  await kit('K-posted', { exposedFrom: '2026-01-21', exposedTo: '2026-01-25', postedOn: '2026-01-26' })
  const gone = await kit('K-gone', {})
  await app.patch(`/v1/kits/${gone.body.id}`, { lostOn: '2026-02-25' }, 1)
  const monitor = await aMonitor(app)
  await app.post(`/v1/properties/${property.id}/tests`, {
    purpose: 'retest',
    method: 'continuous-monitor',
    setAt: '2026-02-25T15:00:00Z',
    exposures: [{ deviceId: monitor }],
  })

  const { text, status } = await office.get('/chase')
  expect(status).toBe(200)
  const said = words(text)
  expect(said).toContain('1 monitor and 3 kits out; 1 kit at the laboratory; 3 overdue; 1 never returned')
  const at = ['K-posted', 'HM-', 'K-old', 'K-exposed'].map(name => said.indexOf(name))
  expect(at).toEqual([...at].sort((a, b) => a - b))
  expect(at).not.toContain(-1)
  expect(said).not.toContain('K-fresh')
  expect(said).toContain('left 9 days ago, no dates; we ask after 7 days')
  expect(said).toContain('Call (218) 555-0147')
  expect(text).toContain('href="tel:2185550147"')
  expect((await office.get('/')).text).toContain('4 devices to chase')
})

it('gives an app the same list, page by page, each line with its next step, and the same counts', async () => {
  const all = await app.get('/v1/chase')
  expect(all.status).toBe(200)
  expect(all.body.counts).toEqual({ monitorsOut: 1, kitsOut: 3, atLaboratory: 1, overdue: 3, neverReturned: 1 })
  const shown = all.body.items.map((one: { name: string; kind: string; nextStep: string }) => [
    one.name.replace(/HM-\d+/, 'HM'),
    one.kind,
    one.nextStep,
  ])
  expect(shown).toEqual([
    ['Kit K-posted', 'no-answer', 'call-laboratory'],
    ['Hourly HM', 'not-picked-up', 'plan-visit'],
    ['Kit K-old', 'no-dates', 'call-home'],
    ['Kit K-exposed', 'not-posted', 'call-home'],
  ])
  expect(all.body.items[2]).toMatchObject({
    dueOn: '2026-02-28',
    overdue: true,
    reason: 'left 9 days ago, no dates; we ask after 7 days',
    address: '12 Kestrel Lane, Duluth',
    person: 'Ann Holm',
    phone: '(218) 555-0147',
  })
  const names: string[] = []
  for (let next: string | null = ''; next !== null; ) {
    const { body }: { body: { items: { name: string }[]; next: string | null } } = await app.get(
      `/v1/chase?limit=1${next && `&cursor=${next}`}`,
    )
    expect(body).toMatchObject({ counts: all.body.counts })
    names.push(...body.items.map(({ name }) => name))
    next = body.next
  }
  expect(names).toEqual(all.body.items.map(({ name }: { name: string }) => name))
  const [kit] = all.body.items
  const ofLot = await app.get(`/v1/chase?deviceId=${kit.deviceId}`)
  expect(ofLot.body.items).toHaveLength(3)
  const there = await app.get(`/v1/chase?propertyId=${kit.propertyId}`)
  expect(there.body.items).toHaveLength(4)
})

it('names nobody to an app that may not read contacts, and no home to one that may not see it', async () => {
  const without = await service.as.app({ scopes: ['devices:read'] })
  const plain = await without.get('/v1/chase')
  expect(plain.body.items).toHaveLength(4)
  expect(plain.text).not.toContain('Ann Holm')
  expect(plain.text).not.toContain('555-0147')
  const elsewhere = await aPropertyRow(service.db.pool)
  const stranger = await service.as.app({ homes: [elsewhere.id] })
  const { body, text } = await stranger.get('/v1/chase')
  expect(body.items).toMatchObject([
    { kind: 'not-picked-up', propertyId: null, testId: null, address: null, phone: null },
  ])
  expect(text).not.toContain('Kestrel')
})

it('is for the office: a crew opens neither the list nor the days behind it', async () => {
  const crew = await service.as.crew()
  for (const path of ['/chase', '/chase/limits', '/kits/answer']) expect((await crew.get(path)).status).toBe(403)
})

it('goes by the days that the company sets', async () => {
  const limits = await office.get('/chase/limits')
  expect(limits.text).toContain('common practice, no source')
  const days = {
    'activated-charcoal-askAfterDays': '30',
    'activated-charcoal-longestExposureDays': '7',
    'activated-charcoal-laboratoryWithinDays': '7',
    'activated-charcoal-answerWithinDays': 'soon',
    'activated-charcoal-source': 'our laboratory',
    version: '1',
  }
  expect((await office.submit('/chase/limits/activated-charcoal', days)).status).toBe(422)
  const kept = await office.submit('/chase/limits/activated-charcoal', {
    ...days,
    'activated-charcoal-answerWithinDays': '90',
  })
  expect(kept.status).toBe(303)
  const said = words((await office.get('/chase')).text)
  expect(said).not.toContain('K-old')
  expect(said).not.toContain('K-posted')
})

it('shows a crew where monitors are without the addresses of homes that are not theirs', async () => {
  const [seen, hidden] = [
    await aPropertyRow(service.db.pool, { street: '3 Quarry Road' }),
    await aPropertyRow(service.db.pool, { street: '8 Hidden Hollow' }),
  ]
  const crew = await service.as.crew()
  await anAssignment(service.db.pool, await aVisitRow(service.db.pool, seen, { starts_at: '2026-03-02T16:00:00Z' }), {
    id: crew.id,
  })
  for (const { id } of [seen, hidden])
    await app.post(`/v1/properties/${id}/tests`, {
      purpose: 'retest',
      method: 'continuous-monitor',
      setAt: '2026-03-02T14:00:00Z',
      exposures: [{ deviceId: await aMonitor(app) }],
    })
  const { text } = await crew.get('/devices')
  expect(text).toContain('3 Quarry Road')
  expect(text).not.toContain('Hidden Hollow')
  expect(words(text)).toContain('a home that you do not see')
  expect((await crew.get(`/homes/${hidden.id}/devices`)).status).toBe(404)
  const here = await crew.get(`/homes/${seen.id}/devices`)
  expect(here.text).toContain('Leave a kit here')
  expect(here.text).not.toContain('Book a monitor')
  const lot = await aLot(app)
  const kit = { lot, number: 'K-crew', purpose: 'retest', leftOn: 'today' }
  expect((await crew.submit(`/homes/${hidden.id}/devices/kits`, kit)).status).toBe(404)
  const left = await crew.submit(`/homes/${seen.id}/devices/kits`, kit)
  expect(left.status).toBe(303)
  const path = String(left.headers.location)
  expect((await crew.submit(`${path}/days`, { exposedFrom: 'today', version: '1' })).status).toBe(303)
  expect(words((await crew.get(path)).text)).toContain('in place')
})
