import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person } from '../support/actors.ts'
import { aBrowser, desk, openPage } from '../support/browser.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aWholeHome } from '../support/world.ts'

let browser: Browser
let t: TestApp
let office: Person

beforeAll(async () => {
  browser = await aBrowser()
  t = await buildTestApp()
  office = await t.as.office()
  const program = await t.as.app()
  for (const name of ['Alder', 'Birch', 'Cedar']) await aWholeHome(program, name)
})
afterAll(async () => {
  await browser.close()
  await t.close()
})

const focused = (page: Page) => page.evaluate('document.activeElement.textContent.trim() || document.activeElement.id')

describe('U13: the homes a search found', () => {
  it('are stepped through with the arrow keys from the box, and opened with Enter', async () => {
    const { page, complaints } = await openPage(browser, t.url, { viewport: desk, cookies: [office.cookie] })
    await page.goto('/search?q=Street')
    const hits = (await page.locator('.hits a').allTextContents()).map(text => text.trim())
    expect(hits).toHaveLength(3)
    await page.keyboard.press('/')
    expect(await focused(page)).toBe('search-box')
    const down: unknown[] = []
    for (const _ of [...hits, 'one more']) {
      await page.keyboard.press('ArrowDown')
      down.push(await focused(page))
    }
    expect(down).toEqual([...hits, hits.at(-1)])
    await page.keyboard.press('ArrowUp')
    expect(await focused(page)).toBe(hits[1])
    await page.keyboard.press('Enter')
    await page.waitForURL(/\/homes\//)
    expect(await page.locator('h1').textContent()).toContain(hits[1]!.split(',')[0])
    expect(complaints).toEqual([])
  })

  it('lead back to the box above the first, with what was asked for still in it', async () => {
    const { page } = await openPage(browser, t.url, { viewport: desk, cookies: [office.cookie] })
    await page.goto('/search?q=Street')
    await page.keyboard.press('/')
    await page.keyboard.press('ArrowDown')
    await page.keyboard.press('ArrowUp')
    expect(await focused(page)).toBe('search-box')
    expect(await page.locator('#search-box').inputValue()).toBe('Street')
  })

  it('are links that Tab reaches where no script runs', async () => {
    const { page } = await openPage(browser, t.url, { viewport: desk, cookies: [office.cookie], javaScript: false })
    await page.goto('/search?q=Alder')
    await page.locator('#search-box').focus()
    await page.keyboard.press('Tab')
    await page.keyboard.press('Tab')
    for (let n = 0; n < 30 && !(await page.locator('.hits a:focus').count()); n++) await page.keyboard.press('Tab')
    expect(await page.locator('.hits a:focus').textContent()).toContain('Alder')
  })
})
