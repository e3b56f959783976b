import { aBrowser, openPage } from '../support/browser.ts'
import { serveGallery } from './serve-gallery.ts'

const s = await serveGallery()
const b = await aBrowser()
const want = process.argv.slice(2)
for (const w of want) {
  const [a, width, scheme] = w.split(',')
  const { page, context } = await openPage(b, s.origin, {
    viewport: { width: Number(width), height: 900 },
    scheme: scheme as never,
  })
  await page.goto('/' + a)
  await page.waitForTimeout(200)
  await page.screenshot({ path: `/tmp/shots/${a}-${width}-${scheme}.png`, fullPage: true })
  await context.close()
}
await b.close()
await s.close()
