import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person } from '../support/actors.ts'
import { aBrowser, desk, openPage, phone } from '../support/browser.ts'
import { withShippedPolicies } from '../support/laws-in-database.ts'
import { messyHomes } from '../support/messy-homes.ts'
import { axeFaults, sidewaysOverflow, structureFaults } from '../support/page-checks.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

// The company's old table, brought in through the screens: without scripts throughout.

let browser: Browser
let t: TestApp
let office: Person

beforeAll(async () => {
  browser = await aBrowser()
  t = await buildTestApp({ at: '2026-11-27T15:00:00Z' })
  await withShippedPolicies(t.db, { actor: { kind: 'operator', id: null }, now: t.clock.now(), requestId: 'test' })
  office = await t.as.office()
})
afterAll(async () => {
  await browser.close()
  await t.close()
})

const opened = async (viewport: typeof phone | typeof desk) =>
  openPage(browser, t.url, { viewport, javaScript: false, cookies: [office.cookie] })
const main = async (page: Page) => (await page.locator('main').textContent()) ?? ''

async function upload(page: Page, csv: string): Promise<void> {
  await page.goto('/imports/new')
  await page.getByLabel(/^Homes, as the company has kept them/).check()
  await page.getByLabel('Table').setInputFiles({ name: 'jobs.csv', mimeType: 'text/csv', buffer: Buffer.from(csv) })
  await page.getByRole('button', { name: 'Look at the table' }).click()
}

async function clean(page: Page): Promise<void> {
  expect(await sidewaysOverflow(page)).toEqual([])
  expect(await structureFaults(page)).toEqual([])
}

async function axeAt(path: string): Promise<string[]> {
  const { page, context } = await openPage(browser, t.url, { viewport: desk, cookies: [office.cookie] })
  await page.goto(path)
  const faults = await axeFaults(page)
  await context.close()
  return faults
}

describe('an old table of homes on screen', () => {
  it('is read back, answered, decided, saved, looked through and undone', async () => {
    const { page, complaints } = await opened(phone)
    await upload(page, messyHomes(120).csv)
    expect(await main(page)).toContain('In which unit are the radon results?')
    expect(await main(page)).toContain('the owner from “Cust. Name”')
    const example = page.getByText('Such as Duluth · Rochester · Worcester')
    expect(await example.isVisible()).toBe(false)
    await page.getByText(/^The \d+ columns that are read, each as what$/).click()
    expect(await example.isVisible()).toBe(true)
    await clean(page)
    await page.getByLabel('Radon results are in').selectOption('pCi/L')
    await page.getByRole('button', { name: 'Read it so' }).click()
    expect(await main(page)).toContain('6 pairs may be one home')
    expect(await main(page)).toContain('names two homes')
    expect(await axeAt(page.url())).toEqual([])

    const [first] = await page.getByLabel('The same home: both histories are kept as one').all()
    await first!.check()
    await page.getByLabel('is two homes').check()
    await page.getByRole('button', { name: 'Keep what I said' }).click()
    expect(await main(page)).toContain('Likely doubles, all decided')
    expect(await page.getByRole('button', { name: /^Save/ }).count()).toBe(0)
    const rows = await office.get(`${new URL(page.url()).pathname}/bad-rows`).expect(200)
    expect(rows.text).toMatch(/12 & 14 Elm Street.*names two homes\. Give each home a row of its own\./)
    await page.getByLabel(/^are left out/).check()
    await page.getByRole('button', { name: 'Do so' }).click()
    await page.getByLabel('Keep what the columns hold under a name').fill('our book')
    await page.getByRole('button', { name: 'Save 125 homes' }).click()
    expect(await main(page)).toContain('This page looks again every two seconds')
    await clean(page)

    await t.runJobs()
    await page.reload()
    expect(await main(page)).toContain('125 homes taken up')
    expect(await main(page)).toContain('No reminder goes out of the 125 homes this import wrote to')
    await clean(page)
    expect(await axeAt(page.url())).toEqual([])
    const importPage = page.url()
    await page.getByRole('link', { name: /^What is missing, home by home/ }).click()
    expect(await main(page)).toMatch(
      /Of \d+ things that should be known of these homes, \d+ are known, \d+ are a guess/,
    )
    await clean(page)
    await page.getByRole('link', { name: 'Fan’s serial number', exact: true }).click()
    expect(await main(page)).toMatch(/\d+ homes, by town and street/)
    expect(await axeAt(page.url())).toEqual([])

    await page.goto(importPage)
    await page.getByRole('button', { name: 'Release their reminders' }).click()
    expect(await main(page)).not.toContain('No reminder goes out')
    await page.getByRole('button', { name: 'Undo this import' }).click()
    expect(await main(page)).toContain('Undone')
    const { rows: left } = await t.db.pool.query('select count(*)::int as n from property where voided_at is null')
    expect(left).toEqual([{ n: 0 }])
    expect(complaints).toEqual([])
  })

  it('stopped while it is written saves nothing, and says so', async () => {
    const { page } = await opened(desk)
    await upload(
      page,
      'Owner,Address,City,State,Zip\nAnn Holm,1 Elm St,Duluth,MN,55802\nBen Holm,9 Oak St,Duluth,MN,55802\n',
    )
    await page.getByRole('button', { name: 'Save 2 homes' }).click()
    await page.getByRole('button', { name: 'Stop, and save nothing' }).click()
    await t.runJobs()
    await page.reload()
    expect(await main(page)).toContain('It was not saved: It was stopped; nothing was saved.')
    expect(await page.getByRole('button', { name: 'Save 2 homes' }).count()).toBe(1)
  })

  it('is not a crew’s to bring in', async () => {
    const crew = await t.as.crew()
    const { page } = await openPage(browser, t.url, { viewport: phone, javaScript: false, cookies: [crew.cookie] })
    await page.goto('/imports/new')
    expect(await page.getByLabel(/^Homes, as the company has kept them/).count()).toBe(0)
    const form = await page.locator('#table input[name=_csrf]').inputValue()
    const sent = await page.request.post(`${t.url}/imports/new`, {
      multipart: {
        _csrf: form,
        _key: 'a-crew-tries-it',
        kind: 'homes-table',
        file: {
          name: 'jobs.csv',
          mimeType: 'text/csv',
          buffer: Buffer.from('Owner,Address,City\nAnn,1 Elm St,Duluth\n'),
        },
      },
    })
    expect(sent.status()).toBe(403)
    expect((await page.goto('/homes/missing'))?.status()).toBe(403)
  })
})
