import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import type { RunOptions } from 'axe-core'
import type { Page } from 'playwright-core'

const axePath = createRequire(import.meta.url).resolve('axe-core/axe.min.js')
const axeSource = readFile(axePath, 'utf8')
const inPageSource = readFile(join(import.meta.dirname, 'in-page.js'), 'utf8')

const looked: RunOptions = {
  resultTypes: ['violations'],
  runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
}

/** Lets every page opened from now on bring axe along, which is half a megabyte to hand over each time. */
export const carryAxe = (page: Page): Promise<unknown> => page.addInitScript({ path: axePath })

/** Runs axe over the page as it stands; one line a violation and element, none when clean. */
export async function axeFaults(page: Page): Promise<string[]> {
  // Evaluated through the debugger, so that a strict content policy stays as it is.
  if (!(await page.evaluate(`'axe' in globalThis`))) await page.evaluate(await axeSource)
  return page.evaluate(`axe.run(document, ${JSON.stringify(looked)}).then(({ violations }) => violations.flatMap(({ id, nodes }) =>
    nodes.map(node => id + ': ' + node.target.join(' ') + ' ' + node.html.slice(0, 160))))`)
}

const inPage = async <T>(page: Page, call: string): Promise<T> =>
  page.evaluate(`${await inPageSource}\npageChecks.${call}`) as Promise<T>

/** The elements that stick out of the window sideways; none when the page does not scroll sideways. */
export const sidewaysOverflow = (page: Page): Promise<string[]> => inPage(page, 'sidewaysOverflow()')

/** What a page owes its reader beyond axe: one h1, ordered headings, landmarks, a title, a language, unique ids. */
export const structureFaults = (page: Page): Promise<string[]> => inPage(page, 'structureFaults()')

/** Targets smaller than 44 × 44 CSS px; links within text are excepted (WCAG 2.2, 2.5.8). */
export const smallTargets = (page: Page, least = 44): Promise<string[]> => inPage(page, `smallTargets(${least})`)

export type Stop = { readonly name: string; readonly covered: boolean; readonly ringPx: number; readonly top: number }

/** Presses Tab until the focus comes round, and tells of each stop its name, its ring and whether something covers it. */
export async function keyboardWalk(page: Page, most = 200): Promise<Stop[]> {
  const stops: Stop[] = []
  while (stops.length < most) {
    await page.keyboard.press('Tab')
    const stop = await inPage<Stop | null>(page, 'focusStop()')
    if (!stop) break
    stops.push(stop)
  }
  return stops
}
