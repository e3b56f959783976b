import { afterAll, beforeAll, expect, it } from 'vitest'
import { loadDemo } from '../../seed/load-demo.ts'
import { dayWords, weekdayWords } from '../../src/web/day-words.ts'
import type { Person, Program } from '../support/actors.ts'
import { figures } from '../support/scale.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

// U16: what the API says of a home stands on each of its pages and in its mail, to the letter.

let t: TestApp
let office: Person
let program: Program
const today = '2026-11-25'

beforeAll(async () => {
  t = await buildTestApp({ at: `${today}T15:00:00Z`, empty: true })
  await loadDemo(t.db, t.clock)
  office = await t.as.office()
  program = await t.as.app()
})
afterAll(() => t.close())

type Quantity = {
  readonly value: string
  readonly unit: string
  readonly qualifier?: string
  readonly uncertainty?: string | null
}
type Standing = {
  readonly verdict: { readonly level: Quantity | null; readonly compared: Quantity | null; readonly outcome: string }
  readonly tests: readonly {
    readonly testId: string
    readonly accepted: boolean
    readonly exposures: readonly {
      readonly role: string
      readonly result: Quantity | null
      readonly uncertainty: string | null
    }[]
  }[]
  readonly obligations: readonly { readonly dueOn: string; readonly owedBy: string }[]
}
/** One figure, how it must read, and where. */
type Figure = { readonly home: string; readonly place: string; readonly words: string; readonly text: string }

/** The exact mean of a record is read to two places; what somebody reported as it was reported. */
const asRead = (value: string) => (/[.]\d{4}/.test(value) ? Number(value).toFixed(2) : value)
const printed = ({ value, unit, qualifier = '=', uncertainty }: Quantity) =>
  `${qualifier === '=' ? '' : `${qualifier} `}${asRead(value)}${uncertainty ? ` ± ${uncertainty}` : ''} ${unit.replace('m3', 'm³')}`

const named: Record<string, string> = { '&lt;': '<', '&gt;': '>', '&amp;': '&', '&#34;': '"', '&#39;': "'" }
const textOf = (html: string) =>
  html
    .replaceAll(/<[^>]*>/g, ' ')
    .replaceAll(/&(lt|gt|amp|#34|#39);/g, sign => named[sign]!)
    .replaceAll(/\s+/g, ' ')
const read = async (path: string) => textOf((await office.get(path).expect(200)).text)

/** The text of the mail that tells a result, where the home has somebody to tell. */
async function mailOf(testId: string): Promise<string | null> {
  const answer = await office.submit(`/tests/${testId}/mail-result`)
  return answer.status === 303 ? read(String(answer.headers.location)) : null
}

const isDecimal = ({ value }: Quantity) => !value.includes('/')
const resultsOf = (test: Standing['tests'][number]) =>
  test.exposures.flatMap(({ role, result, uncertainty }) =>
    role === 'measurement' && result && isDecimal(result) ? [{ ...result, uncertainty }] : [],
  )

async function figuresOf(id: string): Promise<{ figures: Figure[]; places: string[]; reported: Quantity[] }> {
  const standing: Standing = (await program.get(`/v1/properties/${id}/standing`).expect(200)).body
  const { level, compared, outcome } = standing.verdict
  const home = await read(`/homes/${id}`)
  const owner = await read(`/homes/${id}/link`)
  const found: Figure[] = []
  const hold = (place: string, words: string, text: string) => found.push({ home: id, place, words, text })
  const places = [home, owner]
  const decided = outcome === 'undetermined' || outcome === 'disagreement' ? [] : [level, compared]
  for (const quantity of decided.filter(one => one !== null)) {
    hold('home', printed(quantity), home)
    hold('homeowner', printed(quantity), owner)
  }
  for (const test of standing.tests.filter(one => one.accepted)) {
    const page = await read(`/tests/${test.testId}`)
    const mail = await mailOf(test.testId)
    places.push(page, ...(mail === null ? [] : [mail]))
    for (const result of resultsOf(test)) {
      hold('test', printed(result), page)
      if (mail !== null) hold('mail', printed(result), mail)
    }
  }
  for (const { dueOn, owedBy } of standing.obligations) {
    hold('home', dueOn < today ? `overdue since ${dayWords(dueOn, today)}` : weekdayWords(dueOn), home)
    if (owedBy === 'homeowner') hold('homeowner', weekdayWords(dueOn), owner)
  }
  return { figures: found, places, reported: standing.tests.flatMap(resultsOf) }
}

/** Quantities that equal a reported one but are written otherwise: `3 pCi/L` beside a reported `3.0 pCi/L`. */
function writtenOtherwise(place: string, reported: readonly Quantity[]): string[] {
  const known = new Map<string, Set<string>>()
  for (const { value, unit } of reported) {
    const key = `${Number(value)} ${unit}`
    known.set(key, (known.get(key) ?? new Set()).add(value))
  }
  return [...place.matchAll(/(?<![\d.])(\d+(?:\.\d+)?) (pCi\/L|Bq\/m³)/g)].flatMap(([whole, value = '', unit = '']) => {
    const asReported = known.get(`${Number(value)} ${unit.replace('m³', 'm3')}`)
    return asReported && !asReported.has(value) ? [`${whole}, reported as ${[...asReported].join(' or ')}`] : []
  })
}

it('prints each figure of the API on the home’s page, the test’s, the homeowner’s and in the mail', async () => {
  const { body } = await program.get('/v1/properties?limit=200').expect(200)
  const all: Figure[] = []
  const otherwise: string[] = []
  for (const { id } of body.items as { id: string }[]) {
    const { figures: found, places, reported } = await figuresOf(id)
    all.push(...found)
    otherwise.push(...places.flatMap(place => writtenOtherwise(place, reported)))
  }
  const per = (place: string) => all.filter(figure => figure.place === place).length
  figures('U16', { figures: all.length, homes: body.items.length, mails: per('mail'), tests: per('test') })
  const missing = all.filter(({ text, words }) => !text.includes(words))
  expect(missing.map(({ home, place, words }) => `${home} ${place}: ${words}`)).toEqual([])
  expect([...new Set(otherwise)]).toEqual([])
  for (const place of ['home', 'homeowner', 'test', 'mail']) expect(per(place), place).toBeGreaterThan(10)
  expect(all.length).toBeGreaterThanOrEqual(50)
}, 120_000)
