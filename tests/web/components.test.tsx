import { describe, expect, it } from 'vitest'
import { DownPage } from '../../src/web/down-page.tsx'
import { ErrorPage } from '../../src/web/error-page.tsx'
import { Field, NumberField } from '../../src/web/field.tsx'
import { FindingList } from '../../src/web/finding-list.tsx'
import { Form } from '../../src/web/form.tsx'
import { Frame } from '../../src/web/frame.tsx'
import { List } from '../../src/web/list.tsx'
import { paths } from '../../src/web/paths.ts'
import { assets } from '../../src/web/read-assets.ts'
import { Table, Text } from '../../src/web/table.tsx'
import { WorkingView } from '../../src/web/working-view.tsx'
import { findings, verdict, zone } from './results.ts'

const hostile = `"><script>alert(1)</script>'`
const clean = (html: JSX.Element): string => {
  // A quoted attribute may hold anything but its quote.
  expect(String(html).replace(/"[^"]*"/g, '""')).not.toContain('<script>')
  return String(html)
}

describe('words of people', () => {
  it('never become HTML, in text or in attributes', () => {
    clean(<Field name="a" label={hostile} hint={hostile} value={hostile} faults={[{ name: 'a', message: hostile }]} />)
    clean(<Field name="a" label="A" rows={2} value={hostile} />)
    clean(<List title={hostile} order={hostile} count={1} noun={[hostile, '']} items={[]} empty={{ text: hostile }} />)
    clean(<Table caption={hostile} columns={[{ words: hostile }]} rows={[[<Text of={hostile} />]]} />)
    clean(<FindingList zone={zone} findings={[{ ...findings[0]!, found: hostile, code: hostile }]} />)
    clean(<WorkingView working={{ ...verdict.working, title: hostile, outcome: hostile }} />)
    clean(<ErrorPage status={404} requestId={hostile} detail={hostile} />)
    clean(<Frame title={hostile} company={hostile} query={hostile} signedIn={{ name: hostile, roles: ['owner'] }} />)
  })
})

describe('a page', () => {
  const page = (roles: string[], more = {}) =>
    String(<Frame title="Ledger" home="12 Kestrel Lane" company="Co" signedIn={{ name: 'I', roles }} {...more} />)

  it('is titled what, home, company; with Error first when a form came back', () => {
    expect(page(['owner'])).toContain('<title>Ledger – 12 Kestrel Lane – Co</title>')
    expect(page(['owner'], { faulty: true })).toContain('<title>Error: Ledger – 12 Kestrel Lane – Co</title>')
  })

  it('shows each role its own nouns', () => {
    expect(page(['owner'])).toContain('>Office<')
    expect(page(['office'])).not.toContain('>Office<')
    expect(page(['office'])).toContain('>Outbox<')
    expect(page(['crew'])).not.toContain('>Outbox<')
  })

  it('has neither style attributes nor inline scripts', () => {
    expect(page(['owner'])).not.toMatch(/ style="|<style|<script>| on\w+="/)
  })

  it('for nobody signed in has no navigation and no search', () => {
    const html = String(<Frame title="Sign in" company="Co" signedIn={null} />)
    expect(html).not.toMatch(/<nav|role="search"/)
  })
})

describe('a form', () => {
  it('carries the token, the key, and the version it was read at', () => {
    const html = String(<Form action="/x" submit="Go" csrf="tok" idempotencyKey="key" version={7} />)
    expect(html).toContain('name="_csrf" value="tok"')
    expect(html).toContain('name="_key" value="key"')
    expect(html).toContain('name="version" value="7"')
  })

  it.each([1, 2, 12])('with %i faults links each to its field', count => {
    const faults = Array.from({ length: count }, (_, index) => ({ name: `f.${index}`, message: `Fault ${index}` }))
    const html = String(<Form action="/x" submit="Go" csrf="t" faults={faults} />)
    expect(html.match(/href="#field-f-\d+"/g)).toHaveLength(count)
  })

  it('ties hint and fault to the control and keeps what was typed', () => {
    const html = String(
      <NumberField name="v" label="Radon" unit="Bq/m3" hint="H" value="4,x" faults={[{ name: 'v', message: 'No' }]} />,
    )
    expect(html).toContain('aria-describedby="field-v-hint field-v-fault"')
    expect(html).toContain('aria-invalid="true"')
    expect(html).toContain('value="4,x"')
    expect(html).toContain('inputmode="decimal"')
    expect(html).toMatch(/<label for="field-v">.*Bq\/m³.*<\/label>/)
  })

  it('never gives a password back', () => {
    expect(String(<Field name="p" label="Password" type="password" value="secret" />)).not.toContain('secret')
  })
})

describe('a list', () => {
  const list = (count: number, shown: number) =>
    String(
      <List
        title="Retests"
        order="by due day"
        count={count}
        noun={['home', 'homes']}
        items={Array.from({ length: shown }, () => <Text>x</Text>)}
        empty={{ text: 'Homes that owe a retest stand here.', href: '/homes/new', step: 'Take up a home' }}
      />,
    )
  it('says how many and in what order', () => {
    expect(list(1, 1)).toContain('1 home, by due day')
    expect(list(120, 50)).toContain('50 of 120 homes, by due day')
  })
  it('that is empty says what would be there and offers the first step', () => {
    expect(list(0, 0)).toMatch(/Homes that owe a retest stand here\..*href="\/homes\/new".*Take up a home/)
  })
})

describe('an error', () => {
  it.each([403, 404, 409, 412, 413, 422, 429, 500, 503])(
    '%i says what happened, what was kept, what to do, and its request',
    status => {
      const html = String(<ErrorPage status={status} requestId="r-1" />)
      for (const words of ['What happened', 'What was kept', 'What to do', 'r-1', `Error ${status}`])
        expect(html).toContain(words)
      expect(html.match(/<dd>[^<]{8,}<\/dd>/g)).toHaveLength(3)
    },
  )
  it('of the database needs nothing but this process', () => {
    expect(String(<DownPage requestId="r-2" />)).toContain('r-2')
  })
})

it('a working marks a clause nobody has checked', () => {
  expect(String(<WorkingView working={verdict.working} />)).toContain('unverified')
  const checked = { ...verdict.working, rule: { ...verdict.working.rule!, status: 'checked' as const } }
  expect(String(<WorkingView working={checked} />)).not.toContain('unverified')
})

it('addresses hold what people typed, encoded', () => {
  expect(paths.search('5 & 7 Åsgata')).toBe('/search?q=5%20%26%207%20%C3%85sgata')
  expect(paths.search()).toBe('/search')
})

it('style, script and typeface together are small, and named by their content', () => {
  expect(assets.script.body.length).toBeLessThan(6_000)
  expect(assets.font.body.length).toBeLessThan(32_000)
  for (const { path } of Object.values(assets)) expect(path).toMatch(/^\/assets\/[\w-]+\.[\w-]{12}\.\w+$/)
  expect(assets.sheet.body.toString()).toContain(assets.font.path)
})
