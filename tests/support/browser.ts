import { access } from 'node:fs/promises'
import chromium from '@sparticuz/chromium'
import {
  type Browser,
  type BrowserContext,
  type BrowserContextOptions,
  type Page,
  chromium as playwright,
} from 'playwright-core'

chromium.setGraphicsMode = false

/** The packaged browser (Linux x64), or the one BROWSER_PATH names. One a test file is enough. */
export async function aBrowser(): Promise<Browser> {
  const executablePath = process.env.BROWSER_PATH ?? (await packagedBrowser())
  return playwright.launch({
    executablePath,
    // The package's own flags are meant for a sandbox without shared memory; these few keep it quiet and off the net.
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-dev-shm-usage',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-default-apps',
      '--disable-sync',
      '--no-first-run',
      '--no-zygote',
      '--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost',
    ],
  })
}

async function packagedBrowser(): Promise<string> {
  const path = await chromium.executablePath()
  await access(path)
  return path
}

export const phone = { width: 360, height: 740 } as const
export const narrow = { width: 320, height: 740 } as const
export const desk = { width: 1440, height: 900 } as const

export type View = {
  readonly viewport?: { readonly width: number; readonly height: number }
  readonly scheme?: 'light' | 'dark'
  readonly javaScript?: boolean
  /** `name=value` of a session, set for the origin. */
  readonly cookies?: readonly { readonly name: string; readonly value: string }[]
}

export type WatchedPage = {
  readonly page: Page
  readonly context: BrowserContext
  /** What no page may do: a dialog, a refused resource, a script error, a request to elsewhere. */
  readonly complaints: string[]
}

/** A page of its own context whose complaints are kept. */
export async function openPage(browser: Browser, origin: string, view: View = {}): Promise<WatchedPage> {
  const options: BrowserContextOptions = {
    baseURL: origin,
    viewport: view.viewport ?? phone,
    colorScheme: view.scheme ?? 'light',
    javaScriptEnabled: view.javaScript ?? true,
    reducedMotion: 'reduce',
    locale: 'en-US',
    timezoneId: 'America/Chicago',
    serviceWorkers: 'block',
  }
  const context = await browser.newContext(options)
  context.setDefaultTimeout(15_000)
  if (view.cookies) {
    await context.addCookies(view.cookies.map(({ name, value }) => ({ name, value, url: origin })))
  }
  const page = await context.newPage()
  const complaints: string[] = []
  page.on('dialog', dialog => {
    complaints.push(`dialog: ${dialog.message()}`)
    void dialog.dismiss()
  })
  page.on('pageerror', error => complaints.push(`script error: ${error.message}`))
  page.on('console', message => {
    if (message.type() === 'error' && !/status of [45]\d\d/.test(message.text())) complaints.push(message.text())
  })
  page.on('request', request => {
    if (!request.url().startsWith(origin) && !/^(data|about|blob):/.test(request.url()))
      complaints.push(`request to elsewhere: ${request.url()}`)
  })
  return { page, context, complaints }
}
