import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person, Program } from '../../support/actors.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'
import { aWholeHome, day1, day3, type Home } from '../../support/world.ts'

let service: TestApp
let app: Program
let office: Person
let home: Home
let neighbour: Home

beforeAll(async () => {
  service = await buildTestApp()
  app = await service.as.app()
  office = await service.as.office()
  home = await aWholeHome(app, 'Alder')
  neighbour = await aWholeHome(app, 'Birch')
})
afterAll(() => service.close())

const url = () => `/v1/properties/${home.property}/work-parties`
const said = (over: object = {}) =>
  app.post(url(), { subject: 'test', subjectId: home.test, customerId: home.buyer, part: 'may-see', ...over })
const pointers = (answer: { body: { errors: { pointer: string }[] } }) =>
  answer.body.errors.map(({ pointer }) => pointer)

describe('a part in a piece of work is refused', () => {
  it('in the work of another home, for nobody known, and where it ends before it begins', async () => {
    const answer = await said({
      subjectId: neighbour.test,
      customerId: '0198a000-0000-7000-8000-000000000000',
      firstOn: '2026-05-02',
      lastOn: '2026-05-01',
    })
    expect(answer.status).toBe(422)
    expect(pointers(answer)).toEqual(['#/subjectId', '#/customerId', '#/lastOn'])
  })

  it('in a piece of work of another kind, and in a part that is none', async () => {
    expect(pointers(await said({ subject: 'visit' }))).toEqual(['#/subjectId'])
    expect((await said({ part: 'knows' })).status).toBe(422)
  })

  it('to an app whose grant leaves the home out; one without contacts:read is told of parts, not of names', async () => {
    const other = await service.as.app({ homes: [neighbour.property] })
    expect((await other.get(url())).status).toBe(404)
    const nameless = await service.as.app({ scopes: ['properties:read'] })
    const { items } = (await nameless.get(url())).body
    expect(items[0]).toMatchObject({ part: 'ordered', customerId: home.customer })
    expect(items[0]).not.toHaveProperty('name')
  })

  it('to a crew, on its page', async () => {
    const crew = await service.as.crew()
    expect((await crew.get(`/work/test/${home.test}`)).status).toBe(403)
  })

  it('on the page without a part, without anybody, and with a day that is none', async () => {
    const answer = await office.submit(`/work/visit/${home.visit}`, { lastOn: 'someday' })
    expect(answer.status).toBe(422)
    for (const words of ['Choose the part they have', 'Choose somebody above, or name somebody else'])
      expect(answer.text).toContain(words)
    expect((await office.get(`/work/visit/${home.test}`)).status).toBe(404)
  })
})

describe('a part in a piece of work', () => {
  it('is said on the page of the work, by somebody known or new, and shown there from and until when', async () => {
    for (const [subject, id] of [
      ['visit', home.visit],
      ['callback', home.callback],
      ['system', home.system],
      ['test', neighbour.test],
    ] as const) {
      const form = { part: 'pays', name: `Payer of the ${subject}`, lastOn: '30 June 2026' }
      expect((await office.submit(`/work/${subject}/${id}`, form)).status).toBe(303)
      const { text } = await office.get(`/${subject}s/${id}`)
      expect(text).toContain('Paid by: ')
      expect(text).toContain(`Payer of the ${subject}`)
      expect(text).toContain('30 June')
    }
  })

  it('ends on a day, and is taken back with a reason; both keep what was', async () => {
    const party = (await said({ part: 'pays' })).body
    expect((await app.post(`${url()}/${party.id}/end`, { lastOn: '2026-07-01' }).set('if-match', '"9"')).status).toBe(
      412,
    )
    await app.post(`${url()}/${party.id}/end`, { lastOn: '2026-07-01' }).set('if-match', '"1"').expect(204)
    expect((await app.get(`${url()}/${party.id}`)).body).toMatchObject({ lastOn: '2026-07-01', version: 2 })
    const back = await office.submit(`/work/test/${home.test}/${party.id}/void`, {
      version: 2,
      [`reason-${party.id.slice(-6)}`]: 'another buyer',
    })
    expect(back.status).toBe(303)
    expect((await app.get(`${url()}/${party.id}`)).status).toBe(404)
    const history = await office.get(`/homes/${home.property}/changes`)
    expect(history.text).toContain('another buyer')
  })
})

describe('who may see a result rules whom the office sends it to', () => {
  let result: { id: string; version: number }
  const send = (to?: string) => office.submit(`/tests/${result.id}/mail-result`, to ? { to } : {})
  const sentTo = () => service.mailbox.ledger.flatMap(({ to }) => to)

  beforeAll(async () => {
    const { body } = await app
      .post(`/v1/properties/${home.property}/tests`, {
        purpose: 'real-estate',
        method: 'activated-charcoal',
        setAt: day1,
        pickedUpAt: day3,
        closedSince: '2026-02-01T15:00:00Z',
        closedDuring: 'yes',
        resultInAt: '2026-02-10T12:00:00Z',
        exposures: [
          { locationId: home.location, startAt: day1, stopAt: day3, result: { value: '3.1', unit: 'pCi/L' } },
        ],
      })
      .expect(201)
    result = body.test
    await office.submit(`/tests/${result.id}/acceptance`, { version: result.version })
    await app
      .patch(`/v1/customers/${home.buyer}`, { email: 'buyer@home.example', reason: 'told by phone' }, 1)
      .expect(200)
  })

  it('to nobody but the owner, while nobody else is on record', async () => {
    const { text } = await office.get(`/tests/${result.id}`)
    expect(text).toContain('The office may send the result to Alder Owner: the owner')
    expect(text).toContain('Mail the result to Alder Owner')
    const refused = await send(home.buyer)
    expect(refused.status).toBe(409)
    expect(refused.text).toContain('may not see this result')
  })

  it('to the buyer who is named, and no longer to the owner, by itself neither', async () => {
    await said({ subjectId: result.id }).expect(201)
    const { text } = await office.get(`/tests/${result.id}`)
    expect(text).toContain('The office may send the result to Alder Buyer: named here')
    expect(text).not.toContain('Mail the result to Alder Owner')
    expect((await send()).status).toBe(409)
    await service.db.pool.query('update company set result_mail_on_acceptance = true')
    await service.db.pool.query('update test set accepted_at = $2 where id = $1', [
      result.id,
      new Date(service.clock.now()),
    ])
    await service.runJobs()
    await service.db.pool.query('update company set result_mail_on_acceptance = false')
    expect(sentTo()).toEqual([])
  })

  it('in a mail that tells of this test alone and leads to no page of the home', async () => {
    expect((await send(home.buyer)).status).toBe(303)
    await service.runJobs()
    expect(sentTo()).toEqual(['buyer@home.example'])
    const raw = service.mailbox.ledger[0]!.raw.replaceAll('=\r\n', '')
    expect(raw).toContain('The radon test at this address')
    expect(raw).toContain('3.1 pCi/L')
    expect(raw).toContain('Caution.')
    expect(raw).not.toContain('/h/')
    expect(raw).not.toContain('Where your home stands')
  })

  it('no longer once the last day is over, and then to nobody', async () => {
    const named = (await app.get(`${url()}?subject=test&subjectId=${result.id}`)).body.items[0]
    await app.post(`${url()}/${named.id}/end`, { lastOn: '2026-02-20' }).set('if-match', '"1"').expect(204)
    expect((await office.get(`/tests/${result.id}`)).text).toContain('the time of those who were named is over')
    expect((await send(home.buyer)).status).toBe(409)
    expect((await send()).status).toBe(409)
  })
})
