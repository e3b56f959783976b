import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { aBrowser, openPage, phone } from '../support/browser.ts'
import { aMailedHome } from '../support/mailed-home.ts'
import { smallTargets } from '../support/page-checks.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aWholeHome } from '../support/world.ts'

let service: TestApp
let browser: Browser

beforeAll(async () => {
  service = await buildTestApp()
  browser = await aBrowser()
})
afterAll(async () => {
  await browser?.close()
  await service?.close()
})

const paper = `getComputedStyle(document.documentElement).getPropertyValue('--paper')`

describe('light and dark', () => {
  it.each([true, false])(
    'are chosen at the foot of a page, and stay until the device decides again, JavaScript %s',
    async javaScript => {
      const office = await service.as.office()
      const view = { javaScript, scheme: 'light', viewport: phone, cookies: [office.cookie] } as const
      const { page, context, complaints } = await openPage(browser, service.url, view)
      await page.goto('/homes?show=all')
      const light = await page.evaluate(paper)
      expect(await smallTargets(page)).toEqual([])
      await page.click('.scheme button:text-is("Dark")')
      await page.waitForURL(`${service.url}/homes?show=all`)
      expect(await page.evaluate(paper)).not.toBe(light)
      expect(await page.getAttribute('.scheme [aria-pressed=true]', 'value')).toBe('dark')
      await page.goto('/day')
      expect(await page.evaluate(paper)).not.toBe(light)
      await page.click('.scheme button:text-is("As the device")')
      expect(await page.evaluate(paper)).toBe(light)
      expect(complaints).toEqual([])
      await context.close()
    },
  )

  it('are chosen on the homeowner’s page too, which comes back', async () => {
    const program = await service.as.app()
    const home = await aWholeHome(program, 'Alder')
    const { token } = await aMailedHome(service, program, await service.as.office(), home, 'Alder')
    const { page, context } = await openPage(browser, service.url, { javaScript: false, scheme: 'dark' })
    await page.goto(`/h/${token}`)
    const dark = await page.evaluate(paper)
    await page.click('.scheme button:text-is("Light")')
    expect(await page.evaluate(paper)).not.toBe(dark)
    expect(await page.textContent('h1')).toContain('Radon in your home')
    await context.close()
  })

  it('lead back to a page of this service only', async () => {
    for (const back of ['//elsewhere.example', '/\\elsewhere.example', 'https://elsewhere.example', '', '/a\r\nb']) {
      const answer = await service.as.anonymous.post('/scheme').type('form').send({ scheme: 'dark', back })
      expect([answer.status, answer.headers.location]).toEqual([303, '/'])
    }
  })
})
