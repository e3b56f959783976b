import type { Response as Answer, Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { loadDemo } from '../../seed/load-demo.ts'
import { routeTable } from '../../src/platform/http/server.ts'
import type { Person } from '../support/actors.ts'
import { aBrowser, desk, narrow, openPage, phone, type View } from '../support/browser.ts'
import { aMailedHome } from '../support/mailed-home.ts'
import { axeFaults, carryAxe, sidewaysOverflow, smallTargets, structureFaults } from '../support/page-checks.ts'
import { isPage, type Place, pageRows } from '../support/page-rows.ts'
import { aRuleDraft } from '../support/rule-draft.ts'
import { figures, long } from '../support/scale.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aWholeHome } from '../support/world.ts'

// Every page with the demo's data and with none: axe (U01), no sideways scroll (U04), targets (U05), structure (U08), and no complaint
// of the browser: no dialog, no script error, nothing the content policy refused, nothing from elsewhere (S06, S10, S13).

type World = { readonly t: TestApp; readonly owner: Person; readonly place: Place }
let browser: Browser
let full: World
let bare: World

beforeAll(async () => {
  browser = await aBrowser()
  const t = await buildTestApp({ empty: true })
  await loadDemo(t.db, t.clock)
  const owner = await t.as.staff(['owner', 'office', 'crew'])
  const program = await t.as.app()
  const home = await aWholeHome(program, 'Alder')
  const mailed = await aMailedHome(t, program, owner, home, 'Alder')
  full = { t, owner, place: { home, mailed, staff: owner.id, app: program.id, draft: await aRuleDraft(t) } }
  const empty = await buildTestApp()
  bare = { t: empty, owner: await empty.as.staff(['owner', 'office', 'crew']), place: full.place }
})
afterAll(async () => {
  await browser.close()
  await full.t.close()
  await bare.t.close()
})

type Corner = { readonly name: string; readonly checks: 'whole' | 'width' } & Required<
  Pick<View, 'viewport' | 'scheme'>
>

// The two opposite corners, and the narrowest window; test:long looks at those between as well.
const corners: readonly Corner[] = [
  { name: '360 px light', viewport: phone, scheme: 'light', checks: 'whole' },
  { name: '320 px', viewport: narrow, scheme: 'light', checks: 'width' },
  { name: '1440 px dark', viewport: desk, scheme: 'dark', checks: 'whole' },
  ...(long
    ? ([
        { name: '360 px dark', viewport: phone, scheme: 'dark', checks: 'whole' },
        { name: '768 px light', viewport: { width: 768, height: 1024 }, scheme: 'light', checks: 'whole' },
        { name: '1440 px light', viewport: desk, scheme: 'light', checks: 'whole' },
      ] as const)
    : []),
]

const bareCorners = long ? corners : corners.slice(0, 1)

/** Opens pages one after another, each once and as whom it is for, and turns each to every corner; what is wrong. */
async function look(world: World, pages: readonly Looked[], seen: readonly Corner[]): Promise<string[]> {
  const as = {
    owner: await openPage(browser, world.t.url, { ...seen[0], cookies: [world.owner.cookie] }),
    nobody: await openPage(browser, world.t.url, seen[0]),
  }
  for (const { page } of Object.values(as)) await carryAxe(page)
  const faults: string[] = []
  for (const { address, who } of pages) {
    const { page, complaints } = as[who]
    complaints.length = 0
    await turn(page, seen[0]!)
    const answer = await page.goto(address)
    if (answer && isInBox(answer)) await outOfTheBox(page, await answer.text())
    const found = (answer?.status() ?? 0) >= 500 ? [`status ${answer?.status()}`] : []
    found.push(...(await structureFaults(page)))
    for (const corner of seen) {
      await turn(page, corner)
      found.push(...(await faultsAt(page, corner)).map(fault => `${corner.name}: ${fault}`))
    }
    faults.push(...[...found, ...complaints].map(fault => `${address.replace(/[\da-f-]{36}/, ':id')} ${fault}`))
  }
  await as.owner.context.close()
  await as.nobody.context.close()
  return faults
}

async function turn(page: Page, { viewport, scheme }: Corner): Promise<void> {
  await page.setViewportSize(viewport)
  await page.emulateMedia({ colorScheme: scheme })
}

const faultsAt = async (page: Page, { checks, viewport }: Corner): Promise<string[]> => [
  ...(await sidewaysOverflow(page)).map(element => `scrolls sideways: ${element}`),
  ...(checks === 'whole' ? await axeFaults(page) : []),
  ...(viewport.width === phone.width ? (await smallTargets(page)).map(target => `small target: ${target}`) : []),
]

// A mail is shown in a box that runs nothing, not even axe; its HTML is looked at out of the box.
const isInBox = (answer: Answer) => /; sandbox\b/.test(answer.headers()['content-security-policy'] ?? '')
async function outOfTheBox(page: Page, html: string) {
  await page.goto('about:blank')
  await page.setContent(html)
}

type Looked = { readonly address: string; readonly who: 'owner' | 'nobody' }

/** Every page with who looks at it: what is open to nobody in particular looks different to somebody signed in. */
const pagesOf = (world: World): Looked[] =>
  routeTable(world.t.app)
    .filter(route => route.method === 'GET' && isPage(route.url))
    .flatMap(route =>
      (pageRows[route.url]?.(world.place) ?? []).map(
        address => ({ address, who: route.access.page ? 'owner' : 'nobody' }) as const,
      ),
    )

it('has a row for every page', () => {
  const urls = routeTable(full.t.app).flatMap(route => (route.method === 'GET' && isPage(route.url) ? [route.url] : []))
  expect(urls.filter(url => !pageRows[url])).toEqual([])
})

describe(`every page at ${corners.map(({ name }) => name).join(', ')}`, () => {
  it('with the demo’s data', async () => {
    const pages = pagesOf(full)
    figures('U01, U04', { pages: pages.length, corners: corners.length })
    expect(await look(full, pages, corners)).toEqual([])
  }, 600_000)
})

// Nothing recorded makes a page shorter, never wider or of other colours: one corner, all of them in test:long.
describe(`every page at ${bareCorners.map(({ name }) => name).join(', ')}`, () => {
  it('with nothing recorded yet', async () => {
    const pages = pagesOf(bare).filter(({ address }) => !/[\da-f]{8}-/.test(address))
    expect(await look(bare, pages, bareCorners)).toEqual([])
  }, 300_000)
})

it('U08: every page has a title of its own', async () => {
  const titles = new Map<string, string>()
  const twice: string[] = []
  const own = pagesOf(full).filter(({ address }) => !/[?]|set-password|sign-in|forgotten|^\/h\//.test(address))
  for (const { address } of own) {
    const { text, status } = await full.owner.get(address).redirects(1)
    const title = /<title>([^<]*)<\/title>/.exec(text)?.[1] ?? ''
    if (status !== 200 || title === '' || titles.has(title))
      twice.push(`${address} (${status}): “${title}”, as ${titles.get(title)}`)
    titles.set(title, address)
  }
  expect(twice).toEqual([])
})
