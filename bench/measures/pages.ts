import type { Database } from '../../src/platform/db/client.ts'
import { restandHomes } from '../../src/standing/restand.ts'
import { aBrowser } from '../../tests/support/browser.ts'
import { barePages } from '../rig/bare-pages.ts'
import { feltAt } from '../rig/felt.ts'
import type { Finding } from '../rig/finding.ts'
import { manyHomes } from '../rig/many-homes.ts'
import type { Bench } from '../rig/measure.ts'
import { act, open, settled } from '../rig/open.ts'
import { p95, ratioOf, rounds } from '../rig/rounds.ts'
import { served } from '../rig/served.ts'
import { spreadOf } from '../rig/spread.ts'

/** What the office opens of a large company: the server's time for each page, and what a person sees of its arrival. */
export async function pages({ server, full }: Bench): Promise<Finding[]> {
  const homes = full ? 100_000 : 10_000
  const url = await server.database()
  const db = open(url, 2)
  await settled(db)
  await manyHomes(url, homes)
  const addresses = await addressesOf(db)
  await db.close()
  const product = await served('product', url)
  const origin = `http://127.0.0.1:${product.port}`
  const cookie = `${product.cookie.name}=${product.cookie.value}`
  const asked = (path: string) => async () => {
    const answer = await fetch(origin + path, { headers: { cookie, accept: 'text/html' }, redirect: 'manual' })
    const body = await answer.text()
    if (answer.status !== 200 || !body.includes('</html>')) throw new Error(`${path} answered ${answer.status}`)
  }
  const times = Object.fromEntries(Object.entries(addresses).map(([name, path]) => [name, p95(asked(path), 40)]))
  const took = await rounds(times, 3)
  const bare = await barePages(origin, cookie)
  const browser = await aBrowser()
  const shifts: Record<string, number[]> = {}
  const seen = (from: string, name: string, path: string) => async () => {
    const { largestPaint, shift } = await feltAt(browser, from, path, product.cookie)
    shifts[name] = [...(shifts[name] ?? []), shift]
    return largestPaint
  }
  const findings: Finding[] = []
  for (const [name, path] of Object.entries(addresses)) {
    const paint = await rounds({ page: seen(origin, name, path), bare: seen(bare.origin, 'bare', path) }, 3)
    findings.push(
      {
        row: 'U25',
        what: `${name}, server p95 at ${homes.toLocaleString('en')} homes`,
        against: '–',
        figure: spreadOf(took[name]!),
        unit: 'ms',
        aim: { atMost: 100 },
      },
      {
        row: 'U25',
        what: `${name}, largest paint on a processor four times slower`,
        against: 'the same bytes from memory',
        figure: spreadOf(paint.page),
        unit: 'ms',
        aim: { atMost: 1000 },
        note: `${ratioOf(paint.page, paint.bare).median.toFixed(2)} × ${spreadOf(paint.bare).median.toFixed(0)} ms`,
      },
      {
        row: 'U25',
        what: `${name}, layout shift`,
        against: '–',
        figure: spreadOf(shifts[name]!),
        aim: { atMost: 0.02 },
      },
    )
  }
  await browser.close()
  bare.close()
  product.close()
  return findings
}

/** One page of each kind, of a home that has its standing. */
async function addressesOf(db: Database): Promise<Record<string, string>> {
  const [row] = await db.pool
    .query<{ home: string; system: string; test: string; person: string }>(
      `select p.id as home, s.id as system, o.customer_id as person,
         (select t.id from test t where t.property_id = p.id order by t.set_at desc limit 1) as test
         from property p join system s on s.property_id = p.id join ownership o on o.property_id = p.id
        order by p.id offset 500 limit 1`,
    )
    .then(found => found.rows)
  const { home, system, test, person } = row!
  await db.transaction(tx => restandHomes(tx, act, [home]))
  return {
    'what is due': '/',
    'a day': '/day',
    homes: '/homes',
    'a home': `/homes/${home}`,
    'a test': `/tests/${test}`,
    'a system': `/systems/${system}`,
    people: '/people',
    'a person': `/people/${person}`,
    'search by street': '/search?q=412+alder',
    'search by name, mistyped': '/search?q=annb+oaks',
    outbox: '/outbox',
    changes: '/changes',
  }
}
