import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { SectionPicture } from '../../src/web/section/section-drawing.tsx'
import { sectionOf } from '../../src/web/section/section-of.ts'
import { aBrowser, desk, narrow, openPage, phone } from '../support/browser.ts'
import { drawingFaults, wordsInDrawings } from '../support/drawing-checks.ts'
import { axeFaults, keyboardWalk, sidewaysOverflow, smallTargets, structureFaults } from '../support/page-checks.ts'
import { long } from '../support/scale.ts'
import { gallery } from './gallery.tsx'
import { wordyHome } from './homes.ts'
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

/** Opens every fold of the page; whether there was one to open. */
const openFolds = (page: Page): Promise<boolean> =>
  page.evaluate(`(folds => folds.length > 0 && folds.every(fold => { fold.open = true; return true }))
    ([...document.querySelectorAll('details:not([open])')])`)

describe.each(Object.keys(gallery))('the components on %s', address => {
  // Opposite corners; all four in test:long.
  it.each([
    ['light', phone],
    ['dark', desk],
    ...(long
      ? ([
          ['dark', phone],
          ['light', desk],
        ] as const)
      : []),
  ] as const)(
    'give an accessibility checker nothing to say, %s at %o, folds closed and open',
    async (scheme, viewport) => {
      const { page, context, complaints } = await openPage(browser, served.origin, { scheme, viewport })
      await page.goto(address)
      expect(await axeFaults(page)).toEqual([])
      if (await openFolds(page)) expect(await axeFaults(page)).toEqual([])
      expect(await structureFaults(page)).toEqual([])
      expect(complaints).toEqual([])
      await context.close()
    },
  )

  it('never scroll sideways at 320 px, folds open, and have targets for a thumb', async () => {
    const { page, context } = await openPage(browser, served.origin, { viewport: narrow })
    await page.goto(address)
    await openFolds(page)
    expect(await sidewaysOverflow(page)).toEqual([])
    expect(await smallTargets(page)).toEqual([])
    await context.close()
  })

  it('show a ring of two pixels or more at every stop of the Tab key, under nothing', async () => {
    const { page, context } = await openPage(browser, served.origin, { viewport: phone })
    await page.goto(address)
    const stops = await keyboardWalk(page)
    expect(stops.length).toBeGreaterThan(0)
    expect(stops.filter(stop => stop.ringPx < 2 || stop.covered)).toEqual([])
    await context.close()
  })
})

describe('the words in the house', () => {
  it.each([
    ['light', phone],
    ['dark', desk],
  ] as const)(
    'lie within the picture and off each other, over every foundation, %s at %o',
    async (scheme, viewport) => {
      const { page, context } = await openPage(browser, served.origin, { scheme, viewport })
      await page.goto('/sections')
      expect(await wordsInDrawings(page)).toBeGreaterThan(60)
      expect(await drawingFaults(page)).toEqual([])
      await context.close()
    },
  )

  it('are never cut, however long a room or a fan is called', () => {
    const html = String(SectionPicture({ model: sectionOf(wordyHome), home: 'wordy', id: 'w' }))
    const written = [...html.matchAll(/<text[^>]*>([^<]*)</g)].map(([, words]) => words).join('')
    expect(written).toContain('High-suction fan, series 14, variable speed')
    expect(written).toContain('Above the roof, north side')
    expect(written).toContain('Family room beside the old workshop')
    expect(written).not.toContain('…')
  })
})
