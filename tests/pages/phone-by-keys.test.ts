import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person } from '../support/actors.ts'
import { aBrowser, desk, openPage } from '../support/browser.ts'
import { eventually } from '../support/eventually.ts'
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
  for (const name of ['Alder', 'Birch']) await aWholeHome(program, name)
})
afterAll(async () => {
  await browser.close()
  await t.close()
})

const focusedText = (page: Page) =>
  page.evaluate('(document.activeElement.textContent || "").trim() || document.activeElement.id') as Promise<string>

/** A browser moves the focus of a page that opens when it has laid it out: a moment after the address has changed. */
const focusOn = (page: Page, words: string) => eventually(async () => expect(await focusedText(page)).toBe(words))

/** Tab until the focus is on something that says this. */
async function tabTo(page: Page, words: string): Promise<void> {
  for (let n = 0; n < 60; n++) {
    if ((await focusedText(page)) === words) return
    await page.keyboard.press('Tab')
  }
  throw new Error(`Tab never came to ${words}`)
}

describe('the phone rings', () => {
  it.each([true, false])(
    'from the first page to a saved callback by keys alone, with the script: %s',
    async javaScript => {
      const { page, complaints } = await openPage(browser, t.url, {
        viewport: desk,
        cookies: [office.cookie],
        javaScript,
      })
      await page.goto('/')
      await tabTo(page, 'Phone')
      await page.keyboard.press('Enter')
      await page.waitForURL(/\/phone$/)
      await focusOn(page, 'search-box')
      await page.keyboard.type('alder-1')
      await page.keyboard.press('Enter')
      await page.waitForURL(/\/homes\/[^/]+\/phone$/)
      expect(await page.locator('h1').textContent()).toBe('1 Alder Street')
      await tabTo(page, 'The alarm sounds')
      await page.keyboard.press('Enter')
      await page.waitForURL(/reported=alarm/)
      await focusOn(page, 'field-answer-1')
      await page.keyboard.type('It hums, no air')
      await tabTo(page, 'Record the callback')
      await page.keyboard.press('Enter')
      await page.waitForURL(/\/callbacks\/[^/]+$/)
      expect(await page.locator('#answers').textContent()).toContain('It hums, no air')
      expect(await page.locator('h1').textContent()).toContain('The alarm sounds')
      expect(complaints).toEqual([])
    },
  )
})
