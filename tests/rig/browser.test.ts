import { createServer, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { aBrowser, narrow, openPage } from '../support/browser.ts'
import { axeFaults, keyboardWalk, sidewaysOverflow, smallTargets, structureFaults } from '../support/page-checks.ts'

const good = `<!doctype html><html lang="en"><title>Good</title><meta name="viewport" content="width=device-width">
  <body><main><h1>Good</h1><h2>Better</h2><p>Text</p><button style="width:90px;height:44px;outline:2px solid">Press</button></main>`
const bad = `<!doctype html><html><body><main><h1>Bad</h1><h3 id="a">Skips</h3><p id="a" style="color:#ccc;background:#fff">pale</p>
  <div style="width:900px">wide</div><button style="width:20px;height:20px;padding:0">x</button><img src="https://elsewhere.example/x.png">
  <script>window.ran = true; alert('hello')</script></main>`

let browser: Browser
let server: Server
let origin: string
beforeAll(async () => {
  server = createServer((request, response) => {
    const policy = request.url === '/strict' ? { 'content-security-policy': "default-src 'none'" } : {}
    response.writeHead(200, { 'content-type': 'text/html; charset=utf-8', ...policy })
    response.end(request.url === '/good' ? good : bad)
  })
  await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve))
  origin = `http://127.0.0.1:${(server.address() as AddressInfo).port}`
  browser = await aBrowser()
})
afterAll(async () => {
  await browser.close()
  server.close()
})

it('finds nothing to say against a sound page', async () => {
  const { page, complaints, context } = await openPage(browser, origin, { viewport: narrow })
  await page.goto('/good')
  expect(await axeFaults(page)).toEqual([])
  expect(await sidewaysOverflow(page)).toEqual([])
  expect(await structureFaults(page)).toEqual([])
  expect(await smallTargets(page)).toEqual([])
  expect(await keyboardWalk(page)).toEqual([
    { name: 'button Press', covered: false, ringPx: 2, top: expect.any(Number) },
  ])
  expect(complaints).toEqual([])
  await context.close()
})

it('names each fault of an unsound one', async () => {
  const { page, complaints, context } = await openPage(browser, origin, { viewport: narrow })
  await page.goto('/bad')
  const axe = (await axeFaults(page)).join()
  for (const rule of ['color-contrast', 'html-has-lang', 'image-alt', 'document-title']) expect(axe).toContain(rule)
  expect(await sidewaysOverflow(page)).toEqual([expect.stringContaining('wide')])
  expect(await structureFaults(page)).toEqual(['no lang', 'no title', 'h3 after h1: Skips', 'id a twice'])
  expect(await smallTargets(page)).toEqual([expect.stringContaining('20×20')])
  expect(complaints).toEqual(
    expect.arrayContaining(['dialog: hello', 'request to elsewhere: https://elsewhere.example/x.png']),
  )
  await context.close()
})

it('hears a content policy being violated, and runs axe under the strictest one', async () => {
  const { page, complaints, context } = await openPage(browser, origin)
  await page.goto('/strict')
  expect(complaints.join()).toContain('Content Security Policy')
  expect((await axeFaults(page)).join()).toContain('html-has-lang')
  await context.close()
})

it('opens pages with scripts switched off', async () => {
  const { page, complaints, context } = await openPage(browser, origin, { javaScript: false })
  await page.goto('/bad')
  expect(complaints.filter(line => line.startsWith('dialog'))).toEqual([])
  await context.close()
})
