import type { Browser } from 'playwright-core'
import { openPage } from '../../tests/support/browser.ts'

/** What a person notices of a page's arrival: milliseconds to its largest element, and how much jumped about. */
export type Felt = { readonly largestPaint: number; readonly shift: number }
type Cookie = { readonly name: string; readonly value: string }

/** Opens a page as for the first time, on a processor four times slower. */
export async function feltAt(browser: Browser, origin: string, path: string, cookie: Cookie): Promise<Felt> {
  const { page, context } = await openPage(browser, origin, { cookies: [cookie] })
  try {
    const session = await context.newCDPSession(page)
    await session.send('Emulation.setCPUThrottlingRate', { rate: 4 })
    await page.goto(path, { waitUntil: 'load' })
    return await page.evaluate<Felt>(whatWasSeen)
  } finally {
    await context.close()
  }
}

// The browser tells of its last paint a moment after it; the timer after the second frame is later than that.
const whatWasSeen = `(async () => {
  const seen = type => new Promise(resolve => {
    const found = []
    new PerformanceObserver(list => found.push(...list.getEntries())).observe({ type, buffered: true })
    requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(resolve, 100, found)))
  })
  const [paints, shifts] = await Promise.all([seen('largest-contentful-paint'), seen('layout-shift')])
  return { largestPaint: paints.at(-1)?.startTime ?? NaN, shift: shifts.reduce((sum, { value }) => sum + value, 0) }
})()`
