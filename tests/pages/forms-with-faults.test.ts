import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { routeTable } from '../../src/platform/http/server.ts'
import type { Person } from '../support/actors.ts'
import { aBrowser, desk, openPage, type WatchedPage } from '../support/browser.ts'
import { aMailedHome } from '../support/mailed-home.ts'
import { isPage, type Place, pageRows } from '../support/page-rows.ts'
import { aRuleDraft } from '../support/rule-draft.ts'
import { figures, size } from '../support/scale.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aVisitor } from '../support/visitor.ts'
import { aWholeHome } from '../support/world.ts'

// U10: every form that the pages hold, found by walking them, sent with one fault, with two, with many.

let browser: Browser
let t: TestApp
let owner: Person
let place: Place
let as: Record<'owner' | 'nobody', WatchedPage>

beforeAll(async () => {
  browser = await aBrowser()
  t = await buildTestApp()
  owner = await t.as.staff(['owner', 'office', 'crew'])
  const program = await t.as.app()
  const home = await aWholeHome(program, 'Alder')
  const mailed = await aMailedHome(t, program, owner, home, 'Alder')
  place = { home, mailed, staff: (await t.as.crew()).id, app: program.id, draft: await aRuleDraft(t) }
  as = {
    owner: await openPage(browser, t.url, { viewport: desk, cookies: [owner.cookie] }),
    nobody: await openPage(browser, t.url, { viewport: desk }),
  }
})
afterAll(async () => {
  await browser.close()
  await t.close()
})

// A form without a field to fill in cannot be filled in wrongly: it signs out, undoes, ends a session.
const fillable = 'input[type=text], input[type=tel], input[type=email], input[type=password], textarea'

type Form = {
  readonly who: 'owner' | 'nobody'
  readonly address: string
  readonly action: string
  readonly names: readonly string[]
  /** Taken, it would take away what later forms are about; so it is sent empty only. */
  readonly grave: boolean
}

const withoutIds = (path: string) => path.replaceAll(/[\da-f]{8}-[\da-f-]{27}/g, ':id')

/** The forms of a page's HTML, read without showing it. */
const formsIn = (html: string): Promise<readonly (Form & { kind: string })[]> =>
  as.owner.page.evaluate(`[...new DOMParser().parseFromString(${JSON.stringify(html)}, 'text/html')
    .querySelectorAll('form[method=post]')].map(form => ({
      action: form.getAttribute('action'),
      kind: form.querySelector('[name=kind][type=hidden]')?.value ?? '',
      grave: form.querySelector('button.grave') !== null,
      names: [...form.querySelectorAll('${fillable}')].map(field => field.name),
    }))`)

async function formsOfPages(): Promise<Form[]> {
  const found = new Map<string, Form>()
  const nobody = aVisitor(t.app)
  const routes = routeTable(t.app).filter(route => route.method === 'GET' && isPage(route.url))
  for (const route of routes)
    for (const address of pageRows[route.url]?.(place) ?? []) {
      const who = route.access.page ? 'owner' : 'nobody'
      const read = (path: string) => (who === 'owner' ? owner.get(path) : nobody.get(path))
      let page = await read(address)
      if (page.headers.location) page = await read(new URL(page.headers.location, t.url).pathname)
      for (const { kind, ...form } of await formsIn(page.text)) {
        const key = `${withoutIds(form.action)} ${kind}`
        if (form.names.length > 0 && !found.has(key)) found.set(key, { ...form, who, address })
      }
    }
  // The homeowner's come first: a form of the office may sell the home, which closes the mailed link.
  return [...found.values()].sort((one, other) => Number(one.who === 'owner') - Number(other.who === 'owner'))
}

type Answer = {
  readonly status: number
  readonly title: string
  readonly focused: boolean
  /** It answers what would change, and asks to go on. */
  readonly foreseen: boolean
  /** What the summary says, each with what is wrong about its link. */
  readonly entries: readonly { readonly text: string; readonly wrong: string }[]
  readonly kept: Readonly<Record<string, string>>
}

/** Fills a form in where the open page holds it; whether it does. */
const fillIn = (page: Page, form: Form, typed: Readonly<Record<string, string>>): Promise<boolean> =>
  page.evaluate(`(typed => {
    const form = [...document.querySelectorAll('form[method=post]')].find(one =>
      one.getAttribute('action') === ${JSON.stringify(form.action)} &&
      Object.keys(typed).every(name => one.elements[name]))
    if (!form) return false
    for (const [name, text] of Object.entries(typed)) form.elements[name].value = text
    form.id = 'sent-by-test'
    return true
  })(${JSON.stringify(typed)})`)

/** Fills a form in, as it came back or else on its own page, sends it and tells how it came back; null when it is gone. */
async function send(
  page: Page,
  form: Form,
  typed: Readonly<Record<string, string>>,
  cameBack: boolean,
): Promise<Answer | null> {
  if (!(cameBack && (await fillIn(page, form, typed)))) {
    await page.goto(form.address)
    if (!(await fillIn(page, form, typed))) return null
  }
  const [answer] = await Promise.all([
    page.waitForResponse(one => one.request().isNavigationRequest() && one.request().method() === 'POST'),
    page.waitForEvent('load'),
    page.evaluate(`setTimeout(() => document.getElementById('sent-by-test').requestSubmit())`),
  ])
  const seen = (await page.evaluate(`(() => {
    const summary = document.getElementById('error-summary')
    const wrongWith = link => {
      if (!link) return ''
      const field = document.getElementById(link.getAttribute('href').slice(1))
      if (!field) return 'links to nothing'
      const marked = field.closest('[aria-invalid=true]')
      if (!marked) return 'not aria-invalid'
      const ids = (field.closest('[aria-describedby]')?.getAttribute('aria-describedby') ?? '').split(' ')
      const said = ids.map(id => document.getElementById(id)?.textContent ?? '').join(' ')
      return said.includes(link.textContent) ? '' : 'not described by its fault'
    }
    const names = ${JSON.stringify(Object.keys(typed))}
    const form = summary?.closest('form')
    return {
      title: document.title,
      foreseen: document.querySelector('main form input[name=tag]') !== null,
      focused: summary !== null && document.activeElement === summary,
      entries: [...(summary?.querySelectorAll('li') ?? [])].map(item => ({
        text: item.textContent, wrong: wrongWith(item.querySelector('a')),
      })),
      kept: Object.fromEntries(names.flatMap(name => {
        const field = form?.elements[name]
        return field && field.type !== 'password' ? [[name, field.value]] : []
      })),
    }
  })()`)) as Omit<Answer, 'status'>
  return { ...seen, status: answer.status() }
}

function faultsOf(answer: Answer, typed: Readonly<Record<string, string>>): string[] {
  const lost = Object.entries(answer.kept).filter(([name, text]) => typed[name] !== text)
  return [
    ...(answer.status === 422 ? [] : [`status ${answer.status}`]),
    ...(answer.title.startsWith('Error: ') ? [] : [`title “${answer.title}”`]),
    ...(answer.entries.length > 0 ? [] : ['no summary']),
    ...(answer.focused ? [] : ['focus is elsewhere']),
    ...answer.entries.filter(entry => entry.wrong !== '').map(entry => `“${entry.text}” ${entry.wrong}`),
    ...lost.map(([name, text]) => `${name} typed “${typed[name]}”, came back “${text}”`),
  ]
}

/** Nothing at all, each field alone as nobody would write it (test:long only), then every field so. */
function fillings({ names, grave }: Form): Record<string, string>[] {
  const all = (text: (at: number) => string) => Object.fromEntries(names.map((name, at) => [name, text(at)]))
  const alone = names.slice(0, size(0, 99)).map((_, at) => all(other => (other === at ? '¿?' : '')))
  return [all(() => ''), ...(grave ? [] : [...alone, all(at => `¿${at} &amp; "`)])]
}

it('gives each form back as it was typed, with a summary that leads to each fault', async () => {
  const forms = await formsOfPages()
  const faults: string[] = []
  const counts = { one: 0, two: 0, many: 0 }
  const refusing = new Set<Form>()
  for (const form of forms) {
    let [cameBack, wasTaken] = [false, false]
    for (const typed of fillings(form)) {
      const answer = await send(as[form.who].page, form, typed, cameBack)
      cameBack = answer?.status === 422
      if (answer === null && !wasTaken)
        faults.push(`${withoutIds(form.action)}: no longer on ${withoutIds(form.address)}`)
      const accepted = answer?.status === 303 || (answer?.status === 200 && answer.foreseen)
      wasTaken ||= accepted
      if (answer === null || accepted) continue
      refusing.add(form)
      counts[answer.entries.length > 2 ? 'many' : answer.entries.length === 2 ? 'two' : 'one'] += 1
      faults.push(...faultsOf(answer, typed).map(fault => `${withoutIds(form.action)}: ${fault}`))
    }
  }
  figures('U10', { forms: forms.length, 'that refuse': refusing.size, ...counts })
  expect([...new Set(faults)]).toEqual([])
  // A visit may be asked for without a word, two entries told apart without saying how that is known, the company may add
  // nothing to the caution, and any word will do.
  const taken = forms.filter(form => !refusing.has(form)).map(form => form.names.join())
  expect(taken).toEqual(['visit-request.note', 'reason', 'cautionAdded'])
  for (const count of Object.values(counts)) expect(count).toBeGreaterThan(5)
}, 600_000)
