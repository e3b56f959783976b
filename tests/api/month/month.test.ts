import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person, Program } from '../../support/actors.ts'
import { insertRow, writtenAt } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

// Today is Mon 2 March 2026; a fan is old from ten years on.
let service: TestApp
let app: Program
let office: Person

beforeAll(async () => {
  service = await buildTestApp()
  await signIn()
})
async function signIn(): Promise<void> {
  app = await service.as.app()
  office = await service.as.staff(['office'], { name: 'Ann Berg' })
}
afterAll(() => service.close())

type Fan = { at?: string; approx?: string } | null
type Place = { street: string; city?: string; postcode?: string; fan?: Fan; retestDue?: string }
async function aHome({ street, city = 'Duluth', postcode = '55803', fan, retestDue }: Place): Promise<string> {
  const owner = await app.post('/v1/customers', { name: `${street} Owner`, phone: '(218) 555-0147' }).expect(201)
  const place = { street, city, postcode, region: 'MN', country: 'US', ownerId: owner.body.id }
  const { id } = (await app.post('/v1/properties', place).expect(201)).body
  if (fan !== undefined) {
    const installed = fan === null ? {} : { installed: fan }
    const system = { type: 'sub-slab-suction', components: [{ kind: 'fan', ...installed }] }
    await app.post(`/v1/properties/${id}/systems`, system).expect(201)
  }
  if (retestDue) await aRetest(id, retestDue)
  return id
}
// A cause of its own: what the reckoning makes of tests is held elsewhere.
const aRetest = (property_id: string, due_on: string) =>
  insertRow(service.db.pool, 'obligation', {
    id: crypto.randomUUID(),
    property_id,
    kind: 'retest',
    cause_id: crypto.randomUUID(),
    due_on,
    due_at: `${due_on}T23:59:59Z`,
    remind_at: [],
    because: '[]',
    owed_by: 'homeowner',
    created_at: writtenAt,
    updated_at: writtenAt,
  })
const due = async (query = '') => (await app.get(`/v1/due-homes?month=2026-03${query}`).expect(200)).body.items
const streets = async (query = '') => (await due(query)).map(({ street }: { street: string }) => street)
const textOf = async (path: string) =>
  (await office.get(path).expect(200)).text.replaceAll(/<[^>]+>/g, ' ').replaceAll(/\s+/g, ' ')

describe('the month’s list', () => {
  it('has the retests due by its end and the fans that have reached the age, a rough date as “may be”', async () => {
    await aHome({ street: '1 Due Street', retestDue: '2026-03-31' })
    await aHome({ street: '2 Later Street', retestDue: '2026-04-01' })
    await aHome({ street: '3 Old Fan', fan: { at: '2016-03-31T12:00:00-05:00' } })
    await aHome({ street: '4 Younger Fan', fan: { at: '2016-04-01T12:00:00-05:00' } })
    await aHome({ street: '5 Rough Fan', fan: { approx: '2015/2017' } })
    await aHome({ street: '6 Unknown Fan', fan: null })
    expect(await streets()).toEqual(['1 Due Street', '3 Old Fan', '5 Rough Fan'])
    expect(await streets('&kind=fan')).toEqual(['3 Old Fan', '5 Rough Fan'])
    expect(await streets('&state=fan-unknown')).toEqual(['6 Unknown Fan'])
    const [, old, rough] = await due()
    expect(old.items).toMatchObject([{ kind: 'fan', reach: 'reached' }])
    expect(rough.items).toMatchObject([{ kind: 'fan', reach: 'may-be', installed: { at: null, approx: '2015/2017' } }])
    const said = await textOf('/month')
    expect(said).toContain('3 due by 31 March 2026: 0 booked, 0 called, 3 open.')
    expect(said).toContain('Fan may be 10 years old: it came in 2015 to 2017, more is not known')
    expect(said).toContain('At one home with nothing else due nobody knows its age')
    expect(said).toMatch(/1 Due Street : Retest due 31 March 2026 1 Due Street Owner \(owner\) \(218\) 555-0147/)
  })

  it('goes by town, postcode and street, page by page, and is narrowed to a town or a postcode', async () => {
    await aHome({ street: '9 Lake Road', city: 'Cloquet', postcode: '55720', retestDue: '2026-01-15' })
    await aHome({ street: '1 Pine Road', city: 'Cloquet', postcode: '55719', retestDue: '2026-01-15' })
    const paged: string[] = []
    for (let path: string | null = '/v1/due-homes?month=2026-03&limit=2'; path; ) {
      const { body }: { body: { items: { street: string }[]; next: string | null } } = await app.get(path).expect(200)
      paged.push(...body.items.map(({ street }) => street))
      path = body.next && `/v1/due-homes?month=2026-03&limit=2&cursor=${body.next}`
    }
    expect(paged).toEqual(['1 Pine Road', '9 Lake Road', '1 Due Street', '3 Old Fan', '5 Rough Fan'])
    expect(await streets('&where=cloq')).toEqual(['1 Pine Road', '9 Lake Road'])
    expect(await streets('&where=5572')).toEqual(['9 Lake Road'])
    expect(await streets('&where=%25')).toEqual([])
    const said = await textOf('/month?where=Cloq')
    expect(said).toContain('2 due by 31 March 2026')
    expect(said).toContain('Cloquet MN 55719 one home')
    const limited = await service.as.app({ homes: [] })
    expect((await limited.get('/v1/due-homes')).body.items).toEqual([])
  })

  it('goes by the company’s own age of fans', async () => {
    const owner = await service.as.owner()
    const form = await owner.get('/company')
    const version = /action="\/company\/fans"[\s\S]*?name="version" value="(\d+)"/.exec(form.text)?.[1]
    expect((await owner.submit('/company/fans', { version, fanAgeYears: '0' })).status).toBe(422)
    await owner.submit('/company/fans', { version, fanAgeYears: '9' }).expect(303)
    expect(await streets('&kind=fan')).toContain('4 Younger Fan')
    await owner.submit('/company/fans', { version: Number(version) + 1, fanAgeYears: '10' }).expect(303)
  })
})

describe('a home of the list', () => {
  it('is booked in one step: purpose and what to do are filled in, and it leaves the open list', async () => {
    const home = await aHome({ street: '10 Booked Street', retestDue: '2026-03-10', fan: { approx: '2009' } })
    const list = await office.get('/month')
    const [, href] = new RegExp(`href="(/homes/${home}/visits/new[^"]+)"`).exec(list.text) ?? []
    const path = href!.replaceAll('&amp;', '&')
    const form = (await office.get(path)).text
    expect(form).toMatch(/<option value="set-device" selected/)
    expect(form).toContain('Retest due 10 March 2026. Fan between 16 and 17 years old, in since 2009.')
    const action = /action="(\/homes\/[^"]+\/visits\/new[^"]*)"/.exec(form)![1]!.replaceAll('&amp;', '&')
    const said = { purpose: 'set-device', starts: '2026-03-05', 'starts-time': '09:00', crew: office.id }
    const booked = await office.submit(action, said)
    expect(booked.headers.location).toBe(`/month?month=2026-03#home-${home}`)
    expect(await streets('&state=open')).not.toContain('10 Booked Street')
    expect(await textOf('/month?state=booked')).toMatch(
      /10 Booked Street.*Booked: Thu 5 March, 09:00 CST , Set a device/,
    )
    expect(await textOf('/month')).toContain('6 due by 31 March 2026: 1 booked, 0 called, 5 open.')
  })

  it('that was called and did not answer stands under “called” until the day to call again', async () => {
    const home = await aHome({ street: '11 Called Street', retestDue: '2026-03-10' })
    const elsewhere = { purpose: 'callback', startsAt: '2026-03-06T16:00:00Z' }
    await app.post(`/v1/properties/${home}/visits`, elsewhere).expect(201)
    expect(await streets('&state=open')).toContain('11 Called Street')
    expect(await textOf('/month')).toContain('A visit is planned for something else: Fri 6 March, 10:00 CST , Callback')
    const call = { outcome: 'no-answer', again: '4 March 2026', note: 'Rang twice' }
    expect((await office.submit(`/homes/${home}/month/called`, { ...call, again: 'soon' })).status).toBe(422)
    expect((await office.submit(`/homes/${home}/month/called`, { ...call, again: '1 March 2026' })).text).toContain(
      'has passed: choose a day to come',
    )
    await office.submit(`/homes/${home}/month/called?month=2026-03`, call).expect(303)
    expect(await streets('&state=called')).toEqual(['11 Called Street'])
    expect(await textOf('/month')).toContain('1 called, 5 open')
    expect(await textOf(`/homes/${home}`)).toContain(
      'Called: no answer Ann Berg; call again on 4 March 2026; Rang twice',
    )
    service.clock.advance(2 * 86_400_000)
    await signIn()
    expect(await streets('&state=open')).toContain('11 Called Street')
    expect(await textOf('/month')).toMatch(/11 Called Street.*No answer, Mon 2 March, 09:00 CST , Ann Berg; call again/)
  })

  it('that is put off leaves the lists until its month, with the reason, and comes back when that is taken back', async () => {
    const home = await aHome({ street: '12 Away Street', retestDue: '2026-03-10' })
    const step = `/homes/${home}/month/put-off?month=2026-03`
    expect((await office.submit(step, { until: '2026-05', reason: '' })).status).toBe(422)
    expect((await office.submit(step, { until: '2026-03', reason: 'Away' })).text).toContain('is not ahead')
    await office.submit(step, { until: '2026-05', reason: 'Away until May' }).expect(303)
    expect(await streets('&state=open')).not.toContain('12 Away Street')
    expect(await textOf('/month?state=put-off')).toContain('Put off to 1 May: Away until May')
    const april = (await app.get('/v1/due-homes?month=2026-04&state=open')).body.items
    expect(april.map(({ street }: { street: string }) => street)).not.toContain('12 Away Street')
    const may = (await app.get('/v1/due-homes?month=2026-05&state=open')).body.items
    expect(may.map(({ street }: { street: string }) => street)).toContain('12 Away Street')

    const [kept] = (await app.get(`/v1/outreach?propertyId=${home}`)).body.items
    expect(kept).toMatchObject({ kind: 'put-off', backOn: '2026-05-01', note: 'Away until May', by: 'Ann Berg' })
    await office.submit(`/outreach/${kept.id}/void`, { version: 1, 'void-reason': 'Back already' }).expect(303)
    expect(await streets('&state=open')).toContain('12 Away Street')
    expect((await office.get(`/homes/${home}`)).text).toMatch(/<del>[^<]*Away until May<\/del>[\s\S]*?Back already/)
  })

  it('with something new that comes up stands on the list again, though the old was put off', async () => {
    const home = await aHome({ street: '13 Twice Street', retestDue: '2026-03-10' })
    const body = { kind: 'put-off', untilMonth: '2026-08', reason: 'Being renovated' }
    await app.post(`/v1/properties/${home}/outreach`, body).expect(201)
    expect(await streets('&state=open')).not.toContain('13 Twice Street')
    await aRetest(home, '2026-03-20')
    expect(await streets('&state=open')).toContain('13 Twice Street')
  })

  it('of which nothing is due can not be put off', async () => {
    const home = await aHome({ street: '14 Quiet Street' })
    const body = { kind: 'put-off', untilMonth: '2026-08', reason: 'No need' }
    const answer = await app.post(`/v1/properties/${home}/outreach`, body)
    expect(answer.status).toBe(422)
    expect(answer.body.errors).toMatchObject([{ pointer: '#/untilMonth' }])
    expect(await textOf(`/homes/${home}/month`)).toContain('Nothing of this home is due')
  })

  it('is none of a crew’s', async () => {
    const crew = await service.as.crew()
    expect((await crew.get('/month')).status).toBe(403)
  })
})
