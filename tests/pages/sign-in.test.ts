import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { addStaff } from '../../src/features/staff/add-staff.ts'
import { passwordHashOf } from '../../src/features/staff/password-hash.ts'
import { aBrowser, desk, openPage, phone } from '../support/browser.ts'
import { axeFaults, sidewaysOverflow, smallTargets, structureFaults } from '../support/page-checks.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

const email = 'kit@clearwell.example'
const password = 'lantern gravel oboe'
let service: TestApp
let browser: Browser

beforeAll(async () => {
  service = await buildTestApp()
  browser = await aBrowser()
  const act = { actor: { kind: 'operator', id: null }, now: service.clock.now(), requestId: 'test' } as const
  const passwordHash = await passwordHashOf(password)
  await service.db.transaction(tx => addStaff(tx, act, { email, name: 'Kit Doran', roles: ['owner'], passwordHash }))
})
afterAll(async () => {
  await browser.close()
  await service.close()
})

describe('signing in with a real browser', () => {
  it('works by keyboard alone and without JavaScript, and goes on to where one was', async () => {
    const { page, context, complaints } = await openPage(browser, service.url, { javaScript: false })
    await page.goto('/account')
    await page.focus('#field-email')
    await page.keyboard.type(email)
    await page.keyboard.press('Tab')
    await page.keyboard.type(password)
    await page.keyboard.press('Enter')
    await page.waitForURL(`${service.url}/account`)
    expect(await page.textContent('h1')).toBe('Kit Doran')
    expect(complaints).toEqual([])
    await context.close()
  })

  it('lets a password manager fill and a person paste', async () => {
    const { page, context } = await openPage(browser, service.url)
    await page.goto('/sign-in')
    expect(await page.getAttribute('#field-email', 'autocomplete')).toBe('username')
    expect(await page.getAttribute('#field-password', 'autocomplete')).toBe('current-password')
    const pasted = await page.evaluate(`(() => {
      const field = document.querySelector('#field-password')
      const paste = new ClipboardEvent('paste', { cancelable: true, bubbles: true })
      return field.dispatchEvent(paste)
    })()`)
    expect(pasted).toBe(true)
    await context.close()
  })

  it('leads the eye to what was wrong and keeps the address', async () => {
    const { page, context } = await openPage(browser, service.url)
    await page.goto('/sign-in')
    await page.fill('#field-email', email)
    await page.fill('#field-password', 'not the password')
    await page.click('button.primary')
    await page.waitForSelector('#error-summary')
    expect(await page.title()).toMatch(/^Error: /)
    expect(await page.inputValue('#field-email')).toBe(email)
    expect(await page.inputValue('#field-password')).toBe('')
    expect(await axeFaults(page)).toEqual([])
    await context.close()
  })

  it('shows nothing personal by the back button after signing out', async () => {
    const { page, context } = await openPage(browser, service.url)
    await page.goto('/sign-in?next=/account')
    await page.fill('#field-email', email)
    await page.fill('#field-password', password)
    await page.click('button.primary')
    await page.waitForURL('**/account')
    await page.click('text=Sign out')
    await page.waitForURL('**/sign-in')
    await page.goBack()
    expect(await page.textContent('h1')).toBe('Sign in')
    expect(await page.content()).not.toContain('Kit Doran')
    await context.close()
  })
})

describe('the pages for strangers', () => {
  it.each(['/sign-in', '/forgotten', '/set-password/spent'])('%s is clean at 360 light and 1440 dark', async path => {
    for (const view of [
      { viewport: phone, scheme: 'light' },
      { viewport: desk, scheme: 'dark' },
    ] as const) {
      const { page, context, complaints } = await openPage(browser, service.url, view)
      await page.goto(path)
      const faults = [
        await axeFaults(page),
        await structureFaults(page),
        await sidewaysOverflow(page),
        await smallTargets(page),
      ]
      expect([...faults.flat(), ...complaints]).toEqual([])
      await context.close()
    }
  })
})
