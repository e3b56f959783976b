import { gzipSync } from 'node:zlib'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { loadDemo } from '../../seed/load-demo.ts'
import { routeTable } from '../../src/platform/http/server.ts'
import { assets } from '../../src/web/read-assets.ts'
import type { Person } from '../support/actors.ts'
import { aBrowser, desk, openPage } from '../support/browser.ts'
import { aMailedHome, throughLink } from '../support/mailed-home.ts'
import { isPage, type Place, pageRows } from '../support/page-rows.ts'
import { aRuleDraft } from '../support/rule-draft.ts'
import { figures } from '../support/scale.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aWholeHome } from '../support/world.ts'

// The policy (S10, ASVS v5.0.0-3.4.3), the way out (S39, 14.3.1) and the weight (U25) of every page.

let browser: Browser
let t: TestApp
let owner: Person
let place: Place
let pages: readonly Carried[]

type Carried = { readonly address: string; readonly status: number; readonly policy: string; readonly text: string }

beforeAll(async () => {
  browser = await aBrowser()
  t = await buildTestApp({ empty: true })
  await loadDemo(t.db, t.clock)
  owner = await t.as.staff(['owner', 'office', 'crew'])
  const program = await t.as.app()
  const home = await aWholeHome(program, 'Alder')
  const mailed = await aMailedHome(t, program, owner, home, 'Alder')
  place = { home, mailed, staff: owner.id, app: program.id, draft: await aRuleDraft(t) }
  pages = await readPages()
})
afterAll(async () => {
  await browser.close()
  await t.close()
})

async function readPages(): Promise<Carried[]> {
  const read: Carried[] = []
  const keep = (address: string, { status, headers, text }: { status: number; headers: object; text: string }) =>
    read.push({ address, status, policy: String((headers as Record<string, string>)['content-security-policy']), text })
  for (const route of routeTable(t.app).filter(route => route.method === 'GET' && isPage(route.url)))
    for (const address of pageRows[route.url]?.(place) ?? [])
      keep(address, await (route.access.page ? owner.get(address) : t.as.anonymous.get(address)))
  const { visitor, address } = await throughLink(t, place.mailed.token)
  keep(address, await visitor.get(address))
  const crew = await t.as.crew()
  keep('/nowhere', await owner.get('/nowhere'))
  keep('/staff as crew', await crew.get('/staff'))
  keep('/homes/new unread', await owner.submit('/homes/new', { street: '' }))
  keep('/homes/new forged', await owner.submit('/homes/new', { _csrf: 'forged' }))
  keep('/homes twice', await owner.get('/homes?show=due&show=all'))
  return read
}

// The box of a mail shows its styles, which mail programs read on the elements alone; it runs and fetches nothing.
const isMailBox = ({ address }: Carried) => /^\/outbox\/.*\/html$/.test(address)

describe('every page, error pages included,', () => {
  it('forbids all that it does not bring itself, and nothing unsafe is let in', () => {
    const faults = pages.filter(
      page =>
        !page.policy.startsWith("default-src 'none'") || (!isMailBox(page) && /unsafe|\*|https?:/.test(page.policy)),
    )
    expect(faults.map(({ address, policy }) => `${address}: ${policy}`)).toEqual([])
    const refused = [...new Set(pages.map(({ status }) => status))].filter(status => status >= 400)
    expect(refused).toEqual(expect.arrayContaining([400, 403, 404, 422]))
    const box = pages.find(isMailBox)!
    expect(box.policy).toMatch(/^default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'self'; sandbox\b/)
    expect(box.policy).not.toMatch(/allow-(?:scripts|same-origin|forms)/)
  })

  it('asks for nothing from elsewhere', () => {
    const elsewhere = pages.flatMap(({ address, text }) =>
      [
        ...text.matchAll(
          /<(?:link|script|img|iframe|source|object|embed|use)\b[^>]*?(?:href|src|srcset|data)="([^"]*)"/g,
        ),
      ]
        .filter(([, url = '']) => !/^(\/(?!\/)|#)/.test(url))
        .map(([tag]) => `${address}: ${tag}`),
    )
    expect(elsewhere).toEqual([])
  })

  it('brings one style sheet, and weighs at most 60 kB compressed with its style and script', () => {
    const shared = gzipSync(assets.sheet.body).length + gzipSync(assets.script.body).length
    const weights = pages.map(({ address, text }) => ({ address, bytes: gzipSync(text).length + shared }))
    const heaviest = weights.toSorted((a, b) => b.bytes - a.bytes)[0]!
    figures('U25', { pages: pages.length, 'heaviest page': heaviest.address, bytes: heaviest.bytes })
    expect(weights.filter(({ bytes }) => bytes > 60_000)).toEqual([])
    const sheets = pages.filter(({ text }) => (text.match(/rel="stylesheet"/g) ?? []).length > 1)
    expect(sheets.map(({ address }) => address)).toEqual([])
  })

  it('runs no script but the one of 50 kB at most', () => {
    const scripts = new Set(pages.flatMap(({ text }) => [...text.matchAll(/<script\b[^>]*>/g)].map(([tag]) => tag)))
    expect([...scripts]).toEqual([`<script src="${assets.script.path}">`])
    expect(assets.script.body.length).toBeLessThanOrEqual(50_000)
  })
})

it('shows nothing personal after signing out, however far one goes back', async () => {
  const { page, complaints } = await openPage(browser, t.url, { viewport: desk, cookies: [owner.cookie] })
  const seen = [`/homes/${place.home.property}`, `/people/${place.home.customer}`]
  for (const address of seen) await page.goto(address)
  expect(await page.locator('h1').textContent()).toContain('Alder')
  const [signedOut] = await Promise.all([
    page.waitForResponse(answer => answer.url().endsWith('/sign-out')),
    page.getByRole('button', { name: 'Sign out' }).click(),
  ])
  await page.waitForURL(/\/sign-in/)
  expect((await signedOut.allHeaders())['clear-site-data']).toBe('"cache", "cookies", "storage"')
  for (const _ of seen) {
    await page.goBack()
    expect(await page.content()).not.toContain('Alder')
  }
  const cookies = await page.context().cookies()
  expect(cookies.map(({ name }) => name)).not.toContain(owner.cookie.name)
  expect(complaints).toEqual([])
})
