import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { aBrowser, desk, openPage, phone } from '../support/browser.ts'
import { serveGallery } from './serve-gallery.ts'

let browser: Browser
let served: Awaited<ReturnType<typeof serveGallery>>
beforeAll(async () => {
  served = await serveGallery()
  browser = await aBrowser()
})
afterAll(async () => {
  await browser?.close()
  await served?.close()
})

const paperOf = (page: Page) => page.evaluate('getComputedStyle(document.documentElement).backgroundColor')

describe('with scripts', () => {
  it('a number says how it is read while it is typed, comma or point', async () => {
    const { page, context } = await openPage(browser, served.origin)
    await page.goto('/form')
    await page.fill('#field-value', '3,9')
    expect(await page.textContent('output[for="field-value"]')).toBe('read as 3.9 pCi/L')
    await page.fill('#field-value', '3,9x')
    expect(await page.textContent('output[for="field-value"]')).toBe('')
    await context.close()
  })

  it('the summary of faults has the focus, and a stroke goes to the search box', async () => {
    const { page, context } = await openPage(browser, served.origin)
    await page.goto('/form')
    expect(await page.evaluate('document.activeElement.id')).toBe('error-summary')
    await page.keyboard.press('/')
    expect(await page.evaluate('document.activeElement.id')).toBe('search-box')
    await context.close()
  })

  it('a form pressed twice is sent once and says that it is being sent', async () => {
    const { page, context } = await openPage(browser, served.origin)
    let sent = 0
    await page.route('**/x', () => {
      sent += 1
    })
    await page.goto('/form')
    const words = await page.evaluate(`(() => {
      const button = document.querySelector('button.primary')
      button.click()
      button.click()
      return button.textContent
    })()`)
    expect(words).toBe('Recording…')
    await expect.poll(() => sent).toBe(1)
    await context.close()
  })

  it('the dark can be forced against the system, and the light', async () => {
    const { page, context } = await openPage(browser, served.origin, { scheme: 'light' })
    await page.goto('/home')
    const light = await paperOf(page)
    await context.addCookies([{ name: 'scheme', value: 'dark', url: served.origin }])
    await page.goto('/home')
    const dark = await paperOf(page)
    expect(dark).not.toBe(light)
    await page.emulateMedia({ colorScheme: 'dark' })
    await context.addCookies([{ name: 'scheme', value: 'light', url: served.origin }])
    await page.goto('/home')
    expect(await paperOf(page)).toBe(light)
    await context.close()
  })
})

it('the typeface is this service’s own and its figures are of one width', async () => {
  const { page, context } = await openPage(browser, served.origin, { viewport: desk })
  await page.goto('/home')
  const widths = (await page.evaluate(`document.fonts.ready.then(() => {
    const span = document.body.appendChild(document.createElement('span'))
    return ['1111', '8888', '0000'].map(text => { span.textContent = text; return span.getBoundingClientRect().width })
  })`)) as number[]
  expect(new Set(widths).size).toBe(1)
  expect(await page.evaluate('document.fonts.check(\'16px "Source Sans 3"\')')).toBe(true)
  await context.close()
})

it('text in drawings is 12 px or more at the width of a phone', async () => {
  const { page, context } = await openPage(browser, served.origin, { viewport: phone })
  await page.goto('/home')
  const sizes = (await page.evaluate(`[...document.querySelectorAll('svg text')].map(text =>
    parseFloat(getComputedStyle(text).fontSize) * text.ownerSVGElement.getScreenCTM().a)`)) as number[]
  expect(sizes.length).toBeGreaterThan(10)
  expect(Math.min(...sizes)).toBeGreaterThanOrEqual(12)
  await context.close()
})

it('on paper there is no navigation, no search and no dark ground', async () => {
  const { page, context } = await openPage(browser, served.origin, { scheme: 'dark' })
  await page.goto('/home')
  await page.emulateMedia({ media: 'print' })
  expect(await paperOf(page)).toBe('rgb(255, 255, 255)')
  expect(await page.evaluate("getComputedStyle(document.querySelector('h1')).color")).toBe('rgb(0, 0, 0)')
  expect(await page.evaluate("getComputedStyle(document.querySelector('.chart .line')).stroke")).toBe('rgb(0, 0, 0)')
  for (const what of ['.nouns', '.search', '.signed-in', '.scheme']) expect(await page.isVisible(what)).toBe(false)
  expect(await page.isVisible('.house')).toBe(true)
  await context.close()
})

it('with colours of the reader’s own choosing the house is still a drawing and no blot', async () => {
  const { page, context } = await openPage(browser, served.origin)
  await page.goto('/home')
  await page.emulateMedia({ forcedColors: 'active', colorScheme: 'dark' })
  const [air, wall] = (await page.evaluate(
    "[getComputedStyle(document.querySelector('.house .inside')).fill, getComputedStyle(document.querySelector('.house .wall')).stroke]",
  )) as string[]
  expect(air).not.toBe(wall)
  await context.close()
})
