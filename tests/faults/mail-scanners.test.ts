import { simpleParser } from 'mailparser'
import type { Browser } from 'playwright-core'
import request from 'supertest'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { aDueHome, due } from '../jobs/due-homes.ts'
import { aBrowser, desk, openPage } from '../support/browser.ts'
import { changedTables, databaseDigest } from '../support/reconcile.ts'
import { aStaffMember } from '../support/rows.ts'
import { figures, size } from '../support/scale.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aVisitor } from '../support/visitor.ts'

const times = 20
/** By a browser, scripts and all; each a second or so. */
const openings = size(3, 20)
let t: TestApp
let browser: Browser
/** Addresses in the mails that arrived: of a reminder, to stop reminders, to accept an invitation, to set a password. */
let links: Record<'page' | 'stop' | 'invitation' | 'password', string>
let homeId: string

beforeAll(async () => {
  ;[t, browser] = await Promise.all([buildTestApp({ at: due, env: { TRUSTED_PROXIES: '127.0.0.1' } }), aBrowser()])
  const { property } = await aDueHome(t.db.pool, [due])
  homeId = property.id
  const forgetful = await aStaffMember(t.db.pool, { email: 'forgetful@clearwell.example' })
  const owner = await t.as.owner()
  const invited = await owner.submit('/staff/new', {
    name: 'Noor Haas',
    roles: ['office'],
    email: 'noor@clearwell.example',
  })
  expect(invited.status, invited.text).toBe(303)
  const visitor = aVisitor(t.app)
  await visitor.get('/forgotten')
  await visitor.send('/forgotten', { email: forgetful.email })
  await t.runJobs()
  const found = await Promise.all(
    t.mailbox.ledger.map(async ({ raw, to }) => {
      const mail = await simpleParser(raw)
      const header = JSON.stringify(mail.headers.get('list') ?? '')
      return { to: to[0]!, links: (mail.text ?? '').match(/http:\/\/127\.0\.0\.1:\d+\/\S+/g) ?? [], header }
    }),
  )
  const of = (to: string) =>
    found.find(mail => mail.to === to)?.links.find(link => /\/(h|set-password)\//.test(link)) ?? ''
  const reminder = found.find(mail => mail.links.some(link => link.includes('/h/')))!
  links = {
    page: reminder.links.find(link => link.includes('/h/'))!,
    stop: /http:[^"\\>]+/.exec(reminder.header)![0],
    invitation: of('noor@clearwell.example'),
    password: of('forgetful@clearwell.example'),
  }
})
afterAll(async () => {
  await browser.close()
  await t.close()
})

const pathOf = (link: string) => new URL(link).pathname

it('F15: each mailed link opened twenty times by programs that read mails, scripts and all, changes no row', {
  timeout: 240_000,
}, async () => {
  for (const link of Object.values(links)) expect(link).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/\w/)
  const before = await databaseDigest(t.db.pool)
  for (const [at, link] of Object.values(links).entries()) {
    for (let n = 0; n < times; n++) {
      // Each from a machine of its own: opened too often from one address, a link answers 429.
      const ask = (method: 'get' | 'head', path: string) =>
        request(t.url)
          [method](path)
          .set({ accept: 'text/html', 'x-forwarded-for': `198.51.100.${10 * n + at}` })
      expect((await ask('head', pathOf(link))).status).toBeLessThan(400)
      await ask('get', pathOf(link)).set('purpose', 'prefetch')
      const first = await ask('get', pathOf(link))
      const cookie = String(first.headers['set-cookie'] ?? '').split(';')[0]!
      const last = first.status === 303 ? await ask('get', String(first.headers.location)).set('cookie', cookie) : first
      expect(last.status).toBe(200)
    }
    const { page, context, complaints } = await openPage(browser, t.url, { viewport: desk })
    await context.setExtraHTTPHeaders({ 'x-forwarded-for': `203.0.113.${at}` })
    for (let n = 0; n < openings; n++) await page.goto(pathOf(link), { waitUntil: 'load' })
    expect(complaints).toEqual([])
    await context.close()
  }
  expect(changedTables(before, await databaseDigest(t.db.pool))).toEqual([])
  figures('F15', { links: Object.keys(links).length, 'openings each': 4 * times + openings, 'tables changed': 0 })
})

it('F15: the person who comes after them can still act on each', async () => {
  const homeowner = aVisitor(t.app)
  const address = String((await homeowner.get(pathOf(links.page))).headers.location)
  await homeowner.get(address)
  expect((await homeowner.send(`${address}/report`, { kind: 'visit-request' })).status).toBe(303)
  expect((await request(t.url).post(pathOf(links.stop)).type('form').send('List-Unsubscribe=One-Click')).status).toBe(
    200,
  )
  for (const link of [links.invitation, links.password]) {
    const person = aVisitor(t.app)
    await person.get(pathOf(link))
    const set = await person.send(pathOf(link), { password: 'lantern gravel oboe', again: 'lantern gravel oboe' })
    expect(set.status, set.text).toBe(303)
    expect((await person.get('/')).status).toBe(200)
  }
})

it('F16: a link that was used, has expired, was altered or never was one answers the same page to the byte', async () => {
  const used = pathOf(links.password)
  const altered = used.replace(/.$/, last => (last === 'A' ? 'B' : 'A'))
  const pages = []
  for (const path of [used, pathOf(links.invitation), altered, `/set-password/${'A'.repeat(43)}`]) {
    const answer = await request(t.url).get(path).set('accept', 'text/html')
    expect(answer.status).toBe(404)
    expect(answer.text).not.toMatch(/Noor|forgetful|Robin/)
    // All that is told apart is the address that was asked for, which leads back to it after signing in.
    pages.push(answer.text.replaceAll(path.split('/').at(-1)!, 'SECRET'))
  }
  expect(new Set(pages).size).toBe(1)
})

it('F16: the link of a home that was sold answers as one that never was', async () => {
  const program = await t.as.app()
  const buyer = await program.post('/v1/customers', { name: 'Bo Buyer' })
  const sale = { customerId: buyer.body.id, because: 'sale' }
  expect((await program.post(`/v1/properties/${homeId}/ownership`, sale)).status).toBe(201)
  const open = (path: string) => request(t.url).get(path).set('accept', 'text/html')
  const [sold, never] = [await open(pathOf(links.page)), await open('/h/never-was-a-link')]
  expect([sold.status, never.status]).toEqual([404, 404])
  expect(sold.text).toBe(never.text)
  expect(sold.text).not.toMatch(/Alder|Ann Holm/)
})
