import request from 'supertest'
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { insertLinks } from '../../../src/platform/auth/link-queries.ts'
import { linkTokenFor } from '../../../src/platform/auth/link-token.ts'
import { changedTables, databaseDigest } from '../../support/reconcile.ts'
import { aCustomerRow, anOwnership, aPropertyRow, type Row } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let app: TestApp
let property: Row
let owner: Row
let linkId: string
let token: string

beforeAll(async () => {
  app = await buildTestApp({ env: { LINK_KEY_PREVIOUS: 'the-key-before-the-last-rotation-of-keys' } })
})
afterAll(() => app.close())
beforeEach(async () => {
  app.clock.set('2026-03-02T15:00:00Z')
  await app.db.pool.query('truncate customer, property, mail cascade')
  owner = await aCustomerRow(app.db.pool)
  property = await aPropertyRow(app.db.pool)
  await anOwnership(app.db.pool, property, owner)
  linkId = await aLink()
  token = linkTokenFor(app.config.linkKeys, linkId)
})

const aLink = async () =>
  (
    await app.db.transaction(tx =>
      insertLinks(tx, app.clock.now(), [
        { propertyId: String(property.id), customerId: String(owner.id), purpose: 'reminder' },
      ]),
    )
  )[0]!
const open = (path: string) => request(app.url).get(path).set('accept', 'text/html')

/** Follows the mailed link as a browser does: the cookie for its page, and the page. */
async function visit(link = token) {
  const first = await open(`/h/${link}`)
  const cookie = String(first.headers['set-cookie']).split(';')[0]!
  const path = String(first.headers.location)
  const page = await open(path).set('cookie', cookie)
  const csrf = /name="_csrf" value="([^"]+)"/.exec(page.text)?.[1] ?? ''
  const send = (to: string, fields: Record<string, unknown>) =>
    request(app.url)
      .post(`${path}/${to}`)
      .set('cookie', cookie)
      .type('form')
      .send({ _csrf: csrf, _key: 'key-of-a-form', ...fields })
  return { first, page, cookie, path, send }
}

describe('a mailed link', () => {
  test('is exchanged for a cookie of its page alone, at an address without the token', async () => {
    const { first, page, path } = await visit()
    expect(first.status).toBe(303)
    expect(path).toBe(`/h/home/${linkId}`)
    expect(String(first.headers['set-cookie'])).toMatch(new RegExp(`Path=${path}; HttpOnly; SameSite=Lax$`))
    expect(page.status).toBe(200)
    expect(page.text).toContain('8 Alder Street')
    expect(page.text).not.toContain(token)
    expect(page.headers['cache-control']).toBe('no-store')
    expect(page.headers['referrer-policy']).toBe('no-referrer')
  })

  test('opened and fetched ahead twenty times changes no row of any table', async () => {
    const before = await databaseDigest(app.db.pool)
    for (let n = 0; n < 20; n++) {
      await visit()
      await request(app.url).head(`/h/${token}`)
      await open(`/h/${token}/stop`)
    }
    expect(changedTables(before, await databaseDigest(app.db.pool))).toEqual([])
    const { send } = await visit()
    expect((await send('report', { kind: 'visit-request' })).status).toBe(303)
  })

  test('shows the same page to the byte for every link that does not open', async () => {
    const expired = linkTokenFor(app.config.linkKeys, await aLink())
    await app.db.pool.query('update homeowner_link set expires_at = $2 where id = $1', [
      await idOf(expired),
      new Date(app.clock.now()),
    ])
    const revoked = linkTokenFor(app.config.linkKeys, await aLink())
    await app.db.pool.query('update homeowner_link set revoked_at = $2 where id = $1', [
      await idOf(revoked),
      new Date(app.clock.now()),
    ])
    const altered = `${token.slice(0, -2)}${token.endsWith('AA') ? 'BB' : 'AA'}`
    const foreign = linkTokenFor(['another key of another installation'], linkId)
    const missing = linkTokenFor(app.config.linkKeys, '019b0000-0000-7000-8000-000000000000')
    const answers = await Promise.all(
      [expired, revoked, altered, foreign, missing, 'x', `${token}x`].map(bad => open(`/h/${bad}`)),
    )
    const closedPage = await open(`/h/home/${linkId}`)
    for (const answer of [...answers, closedPage]) {
      expect(answer.status).toBe(404)
      expect(answer.text).toBe(answers[0]!.text)
      expect(answer.headers['set-cookie']).toBeUndefined()
    }
    expect(answers[0]!.text).not.toContain('Alder')
  })

  test('closes when the home is sold', async () => {
    const office = await app.as.app()
    const buyer = await office.post('/v1/customers', { name: 'Bo Buyer' })
    const sold = await office.post(`/v1/properties/${property.id}/ownership`, {
      customerId: buyer.body.id,
      because: 'sale',
    })
    expect(sold.status).toBe(201)
    expect((await open(`/h/${token}`)).status).toBe(404)
  })

  test('opens under the key before the last while both are kept', async () => {
    const old = linkTokenFor(['the-key-before-the-last-rotation-of-keys'], linkId)
    expect((await open(`/h/${old}`)).status).toBe(303)
  })

  test('of one home does not open the page of another of the same owner', async () => {
    const { cookie } = await visit()
    const other = await aLink()
    expect((await open(`/h/home/${other}`).set('cookie', cookie)).status).toBe(404)
  })

  const idOf = async (of: string) => {
    const hex = Buffer.from(of.split('.')[0]!, 'base64url').toString('hex')
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5')
  }
})

describe('what a homeowner sends', () => {
  const reports = async () =>
    (await app.db.pool.query('select kind, body, state, customer_id from homeowner_report order by id')).rows

  test.each([
    [
      'visit-request',
      { 'visit-request.halfDays': ['mon-morning', 'fri-afternoon'] },
      { purpose: null, halfDays: ['mon-morning', 'fri-afternoon'] },
    ],
    ['visit-request', { 'visit-request.purpose': 'set-device' }, { purpose: 'set-device', halfDays: [] }],
    // An installation is the company's to plan.
    ['visit-request', { 'visit-request.purpose': 'installation' }, { purpose: null }],
    ['own-result', { 'own-result.value': '3,9', 'own-result.unit': 'pCi/L' }, { value: '3.9', unit: 'pCi/L' }],
    ['gauge-reading', { 'gauge-reading.value': '0.8', 'gauge-reading.unit': 'in. w.c.' }, { value: '0.8' }],
    ['alarm', { 'alarm.what': 'alarm' }, { what: 'alarm' }],
    ['moved', { 'moved.newOwner': 'Bo Buyer', 'moved.on': '1 March 2026' }, { on: '2026-03-01', newOwner: 'Bo Buyer' }],
  ])('as %s is kept raw and new', async (kind, fields, body) => {
    const { send, path } = await visit()
    const answer = await send('report', { kind, ...fields })
    expect([answer.status, answer.headers.location]).toEqual([303, `${path}?said=report`])
    expect(await reports()).toMatchObject([{ kind, body, state: 'new', customer_id: owner.id }])
  })

  test('twice with one key counts once', async () => {
    const { send } = await visit()
    await send('report', { kind: 'alarm', 'alarm.what': 'water' })
    await send('report', { kind: 'alarm', 'alarm.what': 'water' })
    expect(await reports()).toHaveLength(1)
  })

  test('that cannot be read comes back with what was typed', async () => {
    const { send } = await visit()
    const answer = await send('report', { kind: 'own-result', 'own-result.value': 'four', 'own-result.unit': 'pCi/L' })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('value="four"')
    expect(await reports()).toEqual([])
  })

  test('without the form of this link is refused', async () => {
    const { send } = await visit()
    expect((await send('report', { kind: 'alarm', 'alarm.what': 'water', _csrf: 'forged' })).status).toBe(403)
    const bare = await request(app.url).post(`/h/home/${linkId}/report`).type('form').send({ kind: 'alarm' })
    expect(bare.status).toBe(403)
    expect(await reports()).toEqual([])
  })

  test('by staff who look at the page is refused', async () => {
    const office = await app.as.office()
    const { cookie, path } = await visit()
    const session = `${office.cookie.name}=${office.cookie.value}`
    const shown = await open(path).set('cookie', `${cookie}; ${session}`)
    expect(shown.text).toContain('as staff')
    expect(shown.text).not.toContain('<form')
    const sent = await request(app.url)
      .post(`${path}/report`)
      .set('cookie', `${cookie}; ${session}`)
      .type('form')
      .send({ _csrf: office.csrf, _key: 'key-of-a-form', kind: 'alarm', 'alarm.what': 'water' })
    expect(sent.status).toBe(403)
    expect(await reports()).toEqual([])
  })
})

describe('stopping the mails', () => {
  const stopped = async () =>
    (await app.db.pool.query('select mails_stopped_at is not null as stopped from customer where id = $1', [owner.id]))
      .rows[0].stopped

  test('works by one click without a cookie, answered 200 (RFC 8058)', async () => {
    const answer = await request(app.url).post(`/h/${token}/stop`).type('form').send('List-Unsubscribe=One-Click')
    expect(answer.status).toBe(200)
    expect(await stopped()).toBe(true)
  })

  test('works from a mail whose link has long expired', async () => {
    app.clock.advance(500 * 86_400_000)
    await request(app.url).post(`/h/${token}/stop`).type('form').send('List-Unsubscribe=One-Click')
    expect(await stopped()).toBe(true)
  })

  test('needs the button: opening its address changes nothing', async () => {
    expect((await open(`/h/${token}/stop`)).text).toContain('Stop the mails')
    expect(await stopped()).toBe(false)
  })

  test('and starting them again work on the page', async () => {
    app.clock.advance(60_000)
    const { send } = await visit()
    await send('mails', { wish: 'stop', _key: 'key-to-stop' })
    expect(await stopped()).toBe(true)
    await send('mails', { wish: 'start', _key: 'key-to-start' })
    expect(await stopped()).toBe(false)
  })
})

describe('forms', () => {
  test('are limited to twenty a minute from one address', async () => {
    const { send } = await visit()
    const statuses: number[] = []
    for (let n = 0; n < 21; n++) statuses.push((await send('report', { kind: 'nothing' })).status)
    expect(statuses.at(-1)).toBe(429)
  })
})
