import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, expect, it } from 'vitest'
import type { Role } from '../../src/platform/auth/actor.ts'
import { routeTable } from '../../src/platform/http/server.ts'
import type { Person } from '../support/actors.ts'
import { aMailedHome } from '../support/mailed-home.ts'
import { isPage, type Place, pageRows } from '../support/page-rows.ts'
import { changedTables, databaseDigest } from '../support/reconcile.ts'
import { anAssignment } from '../support/rows.ts'
import { aRuleDraft } from '../support/rule-draft.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aWholeHome, type Home } from '../support/world.ts'

// S01 and S17 (ASVS v5.0.0-8.2.1, 3.5.1, 3.5.3) over every page and every form.

let t: TestApp
let place: Place
let people: Record<'owner' | 'office' | 'assigned' | 'unassigned', Person>

beforeAll(async () => {
  t = await buildTestApp()
  const program = await t.as.app()
  const home = await aWholeHome(program, 'Alder')
  people = {
    owner: await t.as.owner(),
    office: await t.as.office(),
    assigned: await t.as.crew(),
    unassigned: await t.as.crew(),
  }
  await anAssignment(t.db.pool, { id: home.visit }, { id: people.assigned.id })
  const mailed = await aMailedHome(t, program, people.office, home, 'Alder')
  place = { home, mailed, staff: people.office.id, app: program.id, draft: await aRuleDraft(t) }
})
afterAll(() => t.close())

const pages = () => routeTable(t.app).filter(route => route.method === 'GET' && isPage(route.url) && route.access.page)
const forms = () => routeTable(t.app).filter(route => route.method === 'POST' && route.access.page)
const addressesOf = (url: string, at: Place) => pageRows[url]?.(at) ?? []
const isOfAHome = (url: string) => /^\/(homes|tests|systems|callbacks|visits|bookings|kits)\/:id/.test(url)

/** A form's address on records that are there, as far as its parameters name any. */
function addressOfForm(url: string): string {
  const { home, staff, app } = place
  const nouns: Record<string, string> = {
    homes: home.property,
    tests: home.test,
    systems: home.system,
    devices: home.device,
    bookings: home.booking,
    kits: home.kit,
    callbacks: home.callback,
    visits: home.visit,
    work: home.test,
    imports: home.import,
    people: home.customer,
    'put-right': home.test,
    outbox: place.mailed.mail,
    reports: place.mailed.report,
    staff,
    apps: app,
  }
  const id = nouns[url.split('/')[1]!] ?? randomUUID()
  return url
    .replace(':id', id)
    .replace(':subject', 'test')
    .replace(':noun', 'test')
    .replace(':step', 'void')
    .replace(/:\w+/g, () => randomUUID())
}

async function each(
  work: (url: string, address: string, roles: readonly Role[]) => Promise<string | null>,
): Promise<string[]> {
  const faults: string[] = []
  for (const route of pages())
    for (const address of addressesOf(route.url, place)) {
      const fault = await work(route.url, address, route.access.page ?? [])
      if (fault !== null) faults.push(`${route.url}: ${fault}`)
    }
  return faults
}

it('sends nobody’s browser to the sign-in page, from where it comes back to the page it asked for', async () => {
  const faults = await each(async (_, address) => {
    const answer = await t.as.anonymous.get(address).set('accept', 'text/html')
    return answer.status === 303 && answer.headers.location === `/sign-in?next=${encodeURIComponent(address)}`
      ? null
      : `${answer.status} ${answer.headers.location}`
  })
  expect(faults).toEqual([])
})

it.each(['owner', 'office', 'assigned', 'unassigned'] as const)(
  'opens to the %s what the role may see, and nothing else',
  async who => {
    const role: Role = who === 'owner' || who === 'office' ? who : 'crew'
    const faults = await each(async (url, address, roles) => {
      const answer = await people[who].get(address)
      if (!roles.includes(role)) return answer.status === 403 ? null : `${answer.status}, not 403`
      if (who === 'unassigned' && isOfAHome(url)) return answer.status === 404 ? null : `${answer.status}, not 404`
      return [200, 303].includes(answer.status) ? null : `${answer.status} ${address}`
    })
    expect(faults.filter(fault => !fault.startsWith('/imports/:id'))).toEqual([])
  },
)

it('answers a crew member for a home that is not theirs as for one that does not exist, to the byte', async () => {
  const nowhere = Object.fromEntries(Object.keys(place.home).map(noun => [noun, randomUUID()])) as Home
  const bare = (text: string) => text.replace(/[\da-f]{8}-[\da-f-]{27}/g, ':id')
  const faults: string[] = []
  for (const route of pages().filter(route => isOfAHome(route.url) && route.access.page?.includes('crew'))) {
    const theirs = addressesOf(route.url, place)
    const missing = addressesOf(route.url, { ...place, home: nowhere })
    for (const [n, address] of theirs.entries()) {
      const one = await people.unassigned.get(address).set('x-request-id', 'same-request')
      const other = await people.unassigned.get(missing[n]!).set('x-request-id', 'same-request')
      if (one.status !== 404 || other.status !== 404 || bare(one.text) !== bare(other.text))
        faults.push(`${route.url}: ${one.status}, ${other.status}`)
    }
  }
  expect(faults).toEqual([])
})

it('takes no form without the token of its own session, from another session or another origin: 403, and nothing changes', async () => {
  const before = await databaseDigest(t.db.pool, ['staff_session'])
  const faults: string[] = []
  for (const route of forms()) {
    const url = addressOfForm(route.url)
    const owner = await t.as.staff(['owner', 'office', 'crew'])
    const tries = [
      owner.agent.post(url).type('form').send({ _key: randomUUID() }),
      owner.submit(url, { _csrf: people.office.csrf }),
      owner.submit(url).set('origin', 'null'),
      owner.submit(url).set('origin', 'https://elsewhere.example'),
      owner.submit(url).set('sec-fetch-site', 'cross-site'),
    ]
    for (const [n, attempt] of tries.entries()) {
      const { status } = await attempt
      if (status !== 403) faults.push(`${route.url} try ${n}: ${status}`)
    }
  }
  expect(faults).toEqual([])
  expect(changedTables(before, await databaseDigest(t.db.pool, ['staff_session']))).toEqual(['staff'])
})

it('changes nothing when every page is looked at, twice', async () => {
  const but = ['staff_session']
  const before = await databaseDigest(t.db.pool, but)
  for (const _ of [1, 2])
    await each(async (_url, address) => {
      const { status } = await people.owner.get(address)
      return status < 500 ? null : String(status)
    })
  expect(changedTables(before, await databaseDigest(t.db.pool, but))).toEqual([])
})
