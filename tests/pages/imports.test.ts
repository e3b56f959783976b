import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type Dialect, PLAIN_DIALECT, writeMonitorFile } from '../../seed/monitor-files.ts'
import type { Person } from '../support/actors.ts'
import { aBrowser, desk, openPage, phone, type WatchedPage } from '../support/browser.ts'
import { withShippedPolicies } from '../support/laws-in-database.ts'
import { axeFaults, sidewaysOverflow, structureFaults } from '../support/page-checks.ts'
import { aLocationRow, aPropertyRow, type Row } from '../support/rows.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { hourly } from '../support/test-facts.ts'

// Reading a file back (U17): look, answer, save, undo; without scripts throughout.

const zone = 'America/Chicago'
let browser: Browser
let t: TestApp
let office: Person
let home: Row

beforeAll(async () => {
  browser = await aBrowser()
  t = await buildTestApp({ at: '2026-01-10T12:00:00Z' })
  await withShippedPolicies(t.db, { actor: { kind: 'operator', id: null }, now: t.clock.now(), requestId: 'test' })
  home = await aPropertyRow(t.db.pool, { street: '12 Foundry Lane', city: 'Duluth', zone, jurisdiction: 'US-MN' })
  await aLocationRow(t.db.pool, home, { name: 'Basement', floor: -1 })
  office = await t.as.office()
})
afterAll(async () => {
  await browser.close()
  await t.close()
})

const opened = (viewport: typeof phone | typeof desk): Promise<WatchedPage> =>
  openPage(browser, t.url, { viewport, javaScript: false, cookies: [office.cookie] })
const monitorFile = (tenths: number, over: Partial<Dialect> = {}) => ({
  name: 'monitor.csv',
  mimeType: 'text/csv',
  buffer: Buffer.from(
    writeMonitorFile(
      hourly(48, i => tenths + (i % 4)),
      { ...PLAIN_DIALECT, clock: { zone }, ...over },
    ),
  ),
})
const main = async (page: Page) => (await page.locator('main').textContent()) ?? ''

async function lookAt(page: Page, file: ReturnType<typeof monitorFile>): Promise<void> {
  await page.goto(`/imports/new?home=${home.id}`)
  await page.getByLabel('File').setInputFiles(file)
  await page.getByRole('button', { name: 'Look at the file' }).click()
}

async function clean(page: Page): Promise<void> {
  expect(await sidewaysOverflow(page)).toEqual([])
  expect(await structureFaults(page)).toEqual([])
}

/** What axe says of an address; it runs in the page, so scripts are on. */
async function axeAt(path: string): Promise<string[]> {
  const { page, context } = await openPage(browser, t.url, { viewport: desk, cookies: [office.cookie] })
  await page.goto(path)
  const faults = await axeFaults(page)
  await context.close()
  return faults
}

describe('a monitor’s file on screen', () => {
  it('is read back as a sentence whose words can be changed, saved as a test, and undone', async () => {
    const { page, complaints } = await opened(phone)
    await lookAt(page, monitorFile(48))
    expect(await main(page)).toContain('clock in Chicago time with daylight saving, 3 to 5 November 2025')
    expect(await page.locator('svg desc').first().textContent()).toContain('EPA action level 4.0 pCi/L')
    await clean(page)

    await page.locator('.read-back').getByRole('link', { name: 'end', exact: true }).click()
    await page.getByLabel('the start').check()
    await page.getByRole('button', { name: 'Read it so' }).click()
    expect(await main(page)).toContain('each stamp the start of its hour')

    await page.getByLabel('Purpose').selectOption('pre-mitigation')
    await page.getByLabel('Where the monitor stood').selectOption({ label: 'Basement' })
    await page.getByRole('button', { name: 'Save the record' }).click()
    expect(page.url()).toMatch(/\/tests\/[\w-]+$/)
    expect(await main(page)).toMatch(/4\.9\d* ?pCi\/L|4\.95 pCi\/L/)

    await page.goto('/imports')
    await page.getByRole('link', { name: 'monitor.csv' }).first().click()
    await clean(page)
    await page.getByRole('button', { name: 'Undo this import' }).click()
    expect(await main(page)).toContain('Undone')
    const { rows } = await t.db.pool.query('select voided_at is not null as void from test where property_id = $1', [
      home.id,
    ])
    expect(rows).toEqual([{ void: true }])
    expect(complaints).toEqual([])
  })

  it('asks for the unit and the date order before it can be saved', async () => {
    const { page } = await opened(desk)
    await lookAt(page, monitorFile(60, { unitIn: 'nowhere', date: 'mdy-slash' }))
    expect(await main(page)).toContain('Nothing is saved yet')
    expect(await axeAt(page.url())).toEqual([])
    await page.locator('#form-unit').getByLabel('pCi/L').check()
    await page.locator('#form-unit button[type=submit]').click()
    await page
      .locator('#form-dateOrder')
      .getByLabel(/month first/)
      .check()
    await page.locator('#form-dateOrder button[type=submit]').click()
    expect(await main(page)).toContain('Save it')
    expect(await main(page)).not.toContain('I do not know')
  })

  it('with bad cells lists them by line and cannot be saved', async () => {
    const { page } = await opened(desk)
    const bad = monitorFile(70)
    const buffer = Buffer.from(bad.buffer.toString().replace(',7.1\n', ',oops\n'))
    await lookAt(page, { ...bad, buffer })
    expect(await page.getByRole('row', { name: /oops/ }).first().textContent()).toContain('is not a number')
    expect(await page.getByRole('button', { name: 'Save the record' }).count()).toBe(0)
  })

  it('in the wrong unit is read again: shown first, then done, struck through at its test, and undone', async () => {
    const { page, complaints } = await opened(phone)
    await lookAt(page, monitorFile(90))
    await page.getByLabel('Purpose').selectOption('retest')
    await page.getByLabel('Where the monitor stood').selectOption({ label: 'Basement' })
    await page.getByRole('button', { name: 'Save the record' }).click()
    const test = page.url()
    await page.goto('/imports')
    await page.getByRole('link', { name: 'monitor.csv' }).first().click()
    await page.getByRole('link', { name: 'Read it again with another unit' }).click()
    await clean(page)
    expect(await axeAt(page.url())).toEqual([])
    await page.getByLabel('In which unit are the readings?').selectOption({ label: 'Bq/m³' })
    await page.getByLabel('Why it is read again').fill('its display was set to Bq/m³')
    await page.getByRole('button', { name: 'See what would change' }).click()
    const said = page.getByRole('table', { name: 'Each result, before and after' }).getByRole('row').nth(1)
    expect(await said.textContent()).toMatch(
      /mean of all readings.*9\.15 pCi\/L \(339 Bq\/m³\).*9\.15 Bq\/m³ \(0\.2 pCi\/L\)/,
    )
    await clean(page)
    await page.getByRole('button', { name: 'Read it again' }).click()
    expect(await main(page)).toContain('Reason: its display was set to Bq/m³')

    const correction = page.url()
    await page.goto(test)
    expect(await main(page)).toMatch(/9\.\d+ Bq\/m³/)
    expect(await page.locator('del').first().textContent()).toBe('Basement: a record of 48 readings in pCi/L')
    await clean(page)
    await page.getByRole('link', { name: 'Why' }).click()
    expect(page.url()).toBe(correction)
    await page.getByLabel('Why it is undone').fill('it was not')
    await page.getByRole('button', { name: 'See what undoing changes' }).click()
    await page.getByRole('button', { name: 'Undo it' }).click()
    expect(await main(page)).toContain('because: it was not')
    await page.goto(test)
    expect(await page.locator('del').first().textContent()).toBe('Basement: a record of 48 readings in Bq/m³')
    expect(complaints).toEqual([])
  })

  it('that is no text comes back to the form with what to do', async () => {
    const { page } = await opened(phone)
    await lookAt(page, { name: 'book.csv', mimeType: 'text/csv', buffer: Buffer.from('504b030414000600', 'hex') })
    expect(await main(page)).toContain('a workbook or a zip archive')
    expect(await main(page)).toContain('export the readings as CSV')
    await clean(page)
  })

  it('without a purpose keeps what was typed and says where to look', async () => {
    const { page } = await opened(desk)
    await lookAt(page, monitorFile(80))
    await page.getByLabel('Keep this way of reading under a name').fill('grey monitor')
    await page.getByRole('button', { name: 'Save the record' }).click()
    expect(await main(page)).toContain('Say what the test was for')
    expect(await page.getByLabel('Keep this way of reading under a name').inputValue()).toBe('grey monitor')
  })

  it('finds its home first when it was not opened from one', async () => {
    const { page } = await opened(phone)
    await page.goto('/imports/new')
    await clean(page)
    await page.getByLabel('Which home was it in?').fill('foundry')
    await page.getByRole('button', { name: 'Find the home' }).click()
    await page.getByRole('link', { name: '12 Foundry Lane, Duluth' }).click()
    expect(await main(page)).toContain('For 12 Foundry Lane')
  })
})

describe('a table of results on screen', () => {
  it('shows what would happen, gives the bad rows with reasons, and saves what is told', async () => {
    const table =
      'Address,City,State,Method,Purpose,Start,Stop,Result (pCi/L)\n' +
      '12 Foundry Lane,Duluth,MN,charcoal,retest,2025-10-14 17:30,2025-10-16 18:00,3.9\n' +
      '9 Elm Street,Duluth,MN,charcoal,retest,2025-10-14 17:30,2025-10-16 18:00,1.2\n'
    const { page } = await opened(desk)
    await page.goto('/imports/new')
    await page
      .getByLabel('Table')
      .setInputFiles({ name: 'results.csv', mimeType: 'text/csv', buffer: Buffer.from(table) })
    await page.getByRole('button', { name: 'Look at the table' }).click()
    expect(await main(page)).toContain('1 new, 0 already there, 1 bad')
    expect(await axeAt(page.url())).toEqual([])
    const rows = await office.get(`${new URL(page.url()).pathname}/bad-rows`).expect(200)
    expect(rows.text).toMatch(/9 Elm Street.*is no home on record/)

    await page.getByLabel('A home that is not on record').selectOption('take-up')
    await page.getByRole('button', { name: 'Read it so' }).click()
    expect(await main(page)).toContain('2 new, 0 already there, 0 bad; 1 home would be taken up')
    await page.getByRole('button', { name: 'Save 2 results' }).click()
    expect(await main(page)).toContain('2 new, 0 that were there already')
  })
})
