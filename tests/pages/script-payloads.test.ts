import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { routeTable } from '../../src/platform/http/server.ts'
import type { Person, Program } from '../support/actors.ts'
import { pathOf } from '../support/api-call.ts'
import { apiRoutes } from '../support/api-routes.ts'
import { apiRows } from '../support/api-rows.ts'
import { aBrowser, desk, openPage, type WatchedPage } from '../support/browser.ts'
import { aMailedHome, type Mailed } from '../support/mailed-home.ts'
import { isPage, pageRows } from '../support/page-rows.ts'
import { scriptPayloads } from '../support/payloads.ts'
import { aRuleDraft } from '../support/rule-draft.ts'
import { figures, long } from '../support/scale.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { bodyFiller } from '../support/typed-everywhere.ts'
import { aWholeHome, type Home } from '../support/world.ts'

// S06 (ASVS v5.0.0-1.2.1, 3.2.2): what runs when a page forgets to escape it, in every text field, seen on every page.

let browser: Browser
let t: TestApp
let owner: Person
let program: Program
let homes: readonly [kept: Home, voided: Home]
let mailed: Mailed
let draft: string
const stored: string[] = []
const refused: string[] = []

beforeAll(async () => {
  browser = await aBrowser()
  t = await buildTestApp()
  owner = await t.as.staff(['owner', 'office', 'crew'])
  program = await t.as.app()
  homes = [await aWholeHome(program, 'Alder'), await aWholeHome(program, 'Birch')]
})
afterAll(async () => {
  await browser.close()
  await t.close()
})

let typedSoFar = 0
/** The next payload with a mark of its own after it, by which it is found on a page. */
function nextText(most = 200): string {
  const mark = ` ~${++typedSoFar}~`
  const fitting = scriptPayloads.filter(payload => payload.length + mark.length <= most)
  return `${fitting[typedSoFar % fitting.length]!}${mark}`
}

/** The ETag of what stands at an address or, where nothing is read there, above it. */
async function versionSeenAt(path: string): Promise<string> {
  const { etag } = (await program.get(path)).headers
  const above = path.replace(/\/[\w-]+$/, '')
  return etag ?? (above === '/v1' ? '"1"' : versionSeenAt(above))
}

/** Sends an operation with payloads in its fields; what is refused as no such text is left out of the next try. */
async function storeThrough(operationId: string, home: Home, fill: ReturnType<typeof bodyFiller>): Promise<void> {
  const row = apiRows[operationId]!
  const route = apiRoutes(t.app).find(one => one.operationId === operationId)!
  const path = pathOf(route, row, home)
  const etag = await versionSeenAt(path)
  const without = new Set<string>()
  for (let attempt = 0; attempt < 4; attempt++) {
    const texts: string[] = []
    const body = fill(operationId, row.body!(home), (pointer, most) => {
      if (without.has(pointer)) return undefined
      texts.push(nextText(most))
      return texts.at(-1)
    })
    const answer = await program.agent[route.method.toLowerCase() as 'post' | 'patch'](path)
      .set({ 'idempotency-key': crypto.randomUUID(), 'if-match': etag })
      .send(body)
    if (answer.status < 300) return void stored.push(...texts)
    for (const { pointer } of answer.body.errors ?? []) without.add(`${operationId}/${pointer.replace(/^#\//, '')}`)
    if (!answer.body.errors) break
  }
  refused.push(operationId)
}

it('stores payloads in every free text field of every noun through the API', async () => {
  const fill = bodyFiller(t)
  const bodied = Object.entries(apiRows).filter(([, { body }]) => body)
  const ending = /^(void|changeOwner|endPerson)/
  for (const [operationId] of bodied.filter(([id]) => !ending.test(id))) await storeThrough(operationId, homes[0], fill)
  for (const [operationId] of bodied.filter(([id]) => ending.test(id) && id !== 'voidProperty'))
    await storeThrough(operationId, homes[1], fill)
  // The mail is written anew with what is stored by now.
  mailed = await aMailedHome(t, program, owner, homes[0], nextText())
  draft = await aRuleDraft(t)
  figures('S06 API', { texts: stored.length, operations: bodied.length })
  expect(refused).toEqual([])
}, 120_000)

const pagesFor = (home: Home) =>
  routeTable(t.app)
    .filter(route => route.method === 'GET' && isPage(route.url))
    .flatMap(route => pageRows[route.url]?.({ home, mailed, staff: owner.id, app: program.id, draft }) ?? [])

// What takes a record away, or the session, is left to its own tests.
const formsWithText = 'form[method=post]:has(input[type=text], textarea):not(:has(button.grave))'

/** Where each form of a page's HTML is sent to, whichever record it is about. */
const formsIn = (page: Page, html: string): Promise<string[]> =>
  page.evaluate(`[...new DOMParser().parseFromString(${JSON.stringify(html)}, 'text/html')
    .querySelectorAll('${formsWithText}')].map(form => form.getAttribute('action').replaceAll(/[\\da-f-]{36}/g, ':id'))`)

/** Fills the text fields of one form of the page that is open and sends it. */
async function sendForm(page: Page, at: number): Promise<void> {
  const fields = page.locator(formsWithText).nth(at).locator('input[type=text], textarea')
  const texts = Array.from({ length: await fields.count() }, () => nextText(60))
  await fields.evaluateAll((all, values) => {
    for (const [n, field] of all.entries()) Object.assign(field, { value: values[n] })
  }, texts)
  await Promise.all([
    page.waitForEvent('domcontentloaded'),
    page.evaluate(`document.querySelectorAll('${formsWithText}')[${at}].requestSubmit()`),
  ])
}

// In the drawing of a house long names are broken into lines; they stand whole in its titles and in the table beside it.
const marksIn = `(page => {
  const body = page.body.cloneNode(true)
  for (const line of body.querySelectorAll('svg text')) line.remove()
  return [body.textContent, ...[...page.querySelectorAll('input, textarea')].map(field => field.value)]
    .flatMap(text => text.replaceAll(/\\s+/g, ' ').match(/.{0,80}?~\\d+~/g) ?? [])
})`

/** Every text of the page, and every value of a field, that ends with a mark. */
const markedTexts = (page: Page): Promise<string[]> => page.evaluate(`${marksIn}(document)`)

/** The same of a page that is read and not shown. */
const markedTextsIn = (page: Page, html: string): Promise<string[]> =>
  page.evaluate(`${marksIn}(new DOMParser().parseFromString(${JSON.stringify(html)}, 'text/html'))`)

const asTyped = (text: string) => {
  const mark = /~\d+~$/.exec(text)![0]
  return scriptPayloads.some(payload => text.endsWith(`${payload} ${mark}`))
}

type Filled = { readonly action: string; readonly hasFiles: boolean; readonly entries: readonly [string, string][] }

/** What one form of a page's HTML would send, its text fields filled in. */
function filledIn(page: Page, html: string, at: number): Promise<Filled> {
  const texts = Array.from({ length: 60 }, () => nextText(60))
  return page.evaluate(`(texts => {
    const page = new DOMParser().parseFromString(${JSON.stringify(html)}, 'text/html')
    const form = page.querySelectorAll('${formsWithText}')[${at}]
    const fields = form.querySelectorAll('input[type=text], textarea')
    for (const [n, field] of [...fields].entries()) field.value = texts[n % texts.length]
    const entries = [...new FormData(form)].filter(([, value]) => typeof value === 'string')
    return { action: form.getAttribute('action'), hasFiles: form.enctype === 'multipart/form-data', entries }
  })(${JSON.stringify(texts)})`)
}

/** What in a page's HTML would run, were it shown: nothing of ours stands in a page itself. */
const runsIn = (page: Page, html: string): Promise<string[]> =>
  page.evaluate(`[...new DOMParser().parseFromString(${JSON.stringify(html)}, 'text/html').querySelectorAll('*')]
    .filter(element => element.matches('script:not([src]), [href^="javascript:" i]') ||
      element.getAttributeNames().some(name => name.startsWith('on')))
    .map(element => 'would run: ' + element.outerHTML.slice(0, 160))`)

async function faultsInHtml(page: Page, html: string): Promise<string[]> {
  const twisted = (await markedTextsIn(page, html)).filter(text => !asTyped(text))
  return [...twisted, ...(await runsIn(page, html))]
}

/** Sends one form of a page in the browser; what is wrong with what comes. */
async function sentInBrowser({ page, complaints }: WatchedPage, address: string, at: number): Promise<string[]> {
  await page.goto(address)
  await sendForm(page, at)
  const twisted = (await markedTexts(page)).filter(text => !asTyped(text))
  return [...complaints.splice(0), ...twisted]
}

/** Sends it without showing anything, and reads what comes. */
async function sentAndRead(page: Page, { action, entries }: Filled): Promise<string[]> {
  const sent = new URLSearchParams([...entries])
  const answer = await owner.agent.post(action).set('accept', 'text/html').type('form').send(sent.toString())
  const next = answer.headers.location
  const { text } = next ? await owner.get(next).redirects(1) : answer
  return [...(answer.status < 500 ? [] : [`status ${answer.status}`]), ...(await faultsInHtml(page, text))]
}

// In the browser every form in test:long, else those with a file; of the others the answer is read as a browser would.
it('runs none of them when a form is sent with them, whether it is taken or comes back', async () => {
  const session = await openPage(browser, t.url, { viewport: desk, cookies: [owner.cookie] })
  const { page } = session
  const faults: string[] = []
  const sent = new Set<string>()
  for (const address of pagesFor(homes[0]).filter(one => !one.startsWith('/h/'))) {
    const { text } = await owner.get(address).redirects(1)
    for (const [at, form] of (await formsIn(page, text)).entries()) {
      if (sent.has(form)) continue
      sent.add(form)
      const filled = await filledIn(page, text, at)
      const found =
        long || filled.hasFiles ? await sentInBrowser(session, address, at) : await sentAndRead(page, filled)
      faults.push(...found.map(fault => `${address} form ${at}: ${fault}`))
    }
  }
  figures('S06 forms', { forms: sent.size })
  expect(faults).toEqual([])
  expect(sent.size).toBeGreaterThan(25)
}, 300_000)

// The other home's pages are the same pages: they are shown in test:long, and read here.
it('runs none of them on any page, and prints each as it was typed', async () => {
  const session = await openPage(browser, t.url, { viewport: desk, cookies: [owner.cookie] })
  const nobody = await openPage(browser, t.url, { viewport: desk })
  const shown = new Set((long ? homes : homes.slice(0, 1)).flatMap(pagesFor))
  const read = pagesFor(homes[1]).filter(address => !shown.has(address))
  const faults: string[] = []
  const seen = new Set<string>()
  const look = (address: string, texts: readonly string[]) => {
    for (const text of texts) {
      seen.add(/~\d+~$/.exec(text)![0])
      if (!asTyped(text)) faults.push(`${address}: ${text}`)
    }
  }
  for (const address of shown) {
    const { page, complaints } = address.startsWith('/h/') ? nobody : session
    await page.goto(address)
    look(address, await markedTexts(page))
    faults.push(...complaints.splice(0).map(complaint => `${address}: ${complaint}`))
  }
  for (const address of read) {
    const { text } = await owner.get(address).redirects(1)
    look(address, await markedTextsIn(session.page, text))
    faults.push(...(await runsIn(session.page, text)).map(fault => `${address}: ${fault}`))
  }
  figures('S06 pages', { shown: shown.size, read: read.length, 'texts seen': seen.size })
  expect(faults).toEqual([])
  expect(seen.size).toBeGreaterThan(60)
}, 300_000)
