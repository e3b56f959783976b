import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { loadDemo, type SignIn } from '../../seed/load-demo.ts'
import { aBrowser, desk, openPage, phone } from '../support/browser.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

// The main job in a real browser, once without scripts on a phone (U02) and once by the keyboard alone at a desk (U03).

let browser: Browser
let t: TestApp
let signIns: readonly SignIn[]
const sample = join(import.meta.dirname, '../../seed/samples/hourly-above.csv')

beforeAll(async () => {
  browser = await aBrowser()
  t = await buildTestApp({ empty: true, at: '2026-11-20T18:00:00Z' })
  signIns = await loadDemo(t.db, t.clock)
})
afterAll(async () => {
  await browser.close()
  await t.close()
})

const office = () => signIns.find(one => one.roles.includes('office') && !one.roles.includes('owner'))!

it('without scripts: sign in, find a home, look a file over, enter a test, read why, sign out', async () => {
  const { page, complaints } = await openPage(browser, t.url, { viewport: phone, javaScript: false })
  await page.goto('/sign-in')
  await page.getByLabel('Mail address').fill(office().email)
  await page.getByLabel('Password', { exact: true }).fill(office().password)
  await page.locator('main button[type=submit]').click()
  expect(await page.locator('h1').textContent()).toBe('Ledger')

  await page.getByRole('searchbox').fill('kestral')
  await page.getByRole('button', { name: 'Find' }).click()
  await page
    .getByRole('link', { name: /12 Kestrel Lane/ })
    .first()
    .click()
  expect(await page.locator('h1').textContent()).toContain('12 Kestrel Lane')
  await page.locator('details.working summary').first().click()
  expect(await page.locator('details.working[open]').first().textContent()).toMatch(/pCi\/L/)

  const before = await t.db.pool.query('select count(*)::int as n from test')
  await page.goto(`/imports/new?home=${homeIn(page)}`)
  await page.locator('input[type=file]').setInputFiles({
    name: 'hourly-above.csv',
    mimeType: 'text/csv',
    buffer: readFileSync(sample),
  })
  await page.locator('main button[type=submit]').first().click()
  expect(await page.locator('main').textContent()).toContain('I read this as')
  const after = await t.db.pool.query('select count(*)::int as n from test')
  expect(after.rows).toEqual(before.rows)

  await page.goto('/homes?show=undetermined')
  await page
    .getByRole('link', { name: /Sheepfold/ })
    .first()
    .click()
  await enterTest(page)
  expect(await page.locator('h1').textContent()).toContain('Retest')
  expect(await page.locator('main').textContent()).toMatch(/2\.4 pCi\/L/)
  await page.getByRole('button', { name: 'Sign out' }).click()
  await page.goto('/homes')
  expect(page.url()).toContain('/sign-in')
  expect(complaints).toEqual([])
})

const homeIn = (page: Page) => /homes\/([\w-]+)/.exec(page.url())?.[1] ?? ''

async function enterTest(page: Page): Promise<void> {
  await page.goto(`/homes/${homeIn(page)}/tests/new`)
  await page.getByLabel('Purpose').selectOption('retest')
  await page.getByLabel('Method').selectOption('activated-charcoal')
  await page.getByLabel('Measured in Living room').check()
  await page.getByLabel('Result in Living room').fill('2,4')
  await page.getByLabel('Device set', { exact: false }).first().fill('14 Nov 2026')
  await page.getByLabel('Picked up', { exact: false }).first().fill('18 Nov 2026')
  await page.getByRole('button', { name: 'Record the test' }).click()
}

it('by the keyboard alone: the skip link comes first, and a home is found and opened', async () => {
  const { page } = await openPage(browser, t.url, { viewport: desk })
  await page.goto('/sign-in')
  await page.getByLabel('Mail address').focus()
  await page.keyboard.type(office().email)
  await page.keyboard.press('Tab')
  await page.keyboard.type(office().password)
  await page.keyboard.press('Enter')
  await page.waitForURL(url => url.pathname === '/')
  await page.keyboard.press('Tab')
  expect(await page.locator(':focus').textContent()).toMatch(/skip/i)
  await page.getByRole('searchbox').focus()
  await page.keyboard.type('AF-0107')
  await page.keyboard.press('Enter')
  // An exact tag number jumps straight to the record.
  await page.waitForURL(/\/(homes|systems)\//)
  expect(await page.locator('main').textContent()).toMatch(/Kestrel Lane|AF-0107/)
})
