import request, { type Test } from 'supertest'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { insertStaffToken, shownSecret, type TokenPurpose } from '../../src/features/staff/staff-token.ts'
import { sessionCookieName } from '../../src/platform/auth/cookies.ts'
import { linkIdFrom } from '../../src/platform/auth/link-token.ts'
import type { RouteRow } from '../../src/platform/http/declared-access.ts'
import { routeTable } from '../../src/platform/http/server.ts'
import { call } from '../support/api-call.ts'
import { apiRoutes } from '../support/api-routes.ts'
import { apiRows } from '../support/api-rows.ts'
import { aMailedHome, throughLink } from '../support/mailed-home.ts'
import { changedTables, databaseDigest } from '../support/reconcile.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { hiddenFieldsOf } from '../support/visitor.ts'
import { aWholeHome, type Home } from '../support/world.ts'

// S01: every secret that this service gives opens its own kind of door, and on no route one of another kind.

const kinds = [
  'access token',
  'client secret',
  'mailed link',
  'cookie of a mailed link',
  'session secret',
  'session id',
  'invitation',
  'link to a new password',
  'link of the set-up',
] as const
type Kind = (typeof kinds)[number]
const not = (...own: Kind[]) => kinds.filter(kind => !own.includes(kind))

let t: TestApp
let home: Home
let linkId: string
let form: Record<string, string>
let secrets: Record<Kind, string>

beforeAll(async () => {
  t = await buildTestApp({ env: { TRUSTED_PROXIES: '127.0.0.1' } })
  const [program, office] = [await t.as.app(), await t.as.office()]
  home = await aWholeHome(program, 'Alder')
  const { token } = await aMailedHome(t, program, office, home, 'Water in the pipe')
  linkId = linkIdFrom(t.config.linkKeys, token)!
  const { visitor } = await throughLink(t, token)
  form = { ...hiddenFieldsOf(visitor.page!), kind: 'alarm', 'alarm.what': 'water', 'alarm.note': 'Again' }
  const sessions = await t.db.pool.query<{ id: string }>('select id from staff_session where staff_id = $1', [
    office.id,
  ])
  secrets = {
    'access token': program.token,
    'client secret': program.secret,
    'mailed link': token,
    'cookie of a mailed link': visitor.cookies.get(homeCookie)!,
    'session secret': office.cookie.value,
    'session id': sessions.rows[0]!.id,
    invitation: await oneTime('invitation'),
    'link to a new password': await oneTime('password'),
    'link of the set-up': await oneTime('setup'),
  }
})
afterAll(() => t.close())

const homeCookie = 'underslab-home'
async function oneTime(purpose: TokenPurpose): Promise<string> {
  const [secret, { id: staffId }] = [shownSecret(), await t.as.crew()]
  await t.db.transaction(tx => insertStaffToken(tx, t.clock.now(), { secret, staffId, purpose }))
  return secret
}

/** What each route answers, by status; every kind of secret comes from an address of its own, so that none is limited. */
async function answersOf(kind: Kind, calls: Iterable<readonly [string, Test]>): Promise<Record<number, string[]>> {
  const seen: Record<number, string[]> = {}
  for (const [name, made] of calls) {
    const { status } = await made.set('x-forwarded-for', `203.0.113.${kinds.indexOf(kind) + 1}`)
    seen[status] = [...(seen[status] ?? []), name]
  }
  return seen
}

async function nothingChangedBy(work: () => Promise<unknown>): Promise<void> {
  const before = await databaseDigest(t.db.pool)
  await work()
  expect(changedTables(before, await databaseDigest(t.db.pool))).toEqual([])
}

const served = (of: (route: RouteRow) => boolean) =>
  routeTable(t.app).filter(route => route.method !== 'HEAD' && of(route))
const named = ({ method, url }: RouteRow) => `${method} ${url}`
/** Asks for a page, or sends its form, with a secret wherever one is read. */
function ask({ method, url }: RouteRow, secret: string, cookie: string): Test {
  const path = url
    .replace(/:(token|secret)/, encodeURIComponent(secret))
    .replace(':id', linkId)
    .replace(/:\w+/g, 'any')
  const asked = request(t.app.server)
    [method.toLowerCase() as 'get' | 'post'](path)
    .set({ accept: 'text/html', authorization: `Bearer ${secret}`, cookie: `${cookie}=${secret}` })
  return method === 'GET' ? asked : asked.type('form').send(form)
}

describe('every operation of the API', () => {
  it.each(not('access token'))('refuses the %s as a bearer, and as a cookie: 401, and nothing changed', async kind => {
    const routes = apiRoutes(t.app)
    const calls = (headers: Record<string, string>) =>
      routes.map(route => {
        const made = call(route, apiRows[route.operationId]!, home, { agent: t.as.anonymous, version: '"1"' })
        return [route.operationId, made.set(headers)] as const
      })
    const all = { 401: routes.map(route => route.operationId) }
    const cookie = [homeCookie, sessionCookieName(t.config.secure)].map(name => `${name}=${secrets[kind]}`).join('; ')
    await nothingChangedBy(async () => {
      expect(await answersOf(kind, calls({ authorization: `Bearer ${secrets[kind]}` }))).toEqual(all)
      expect(await answersOf(kind, calls({ cookie }))).toEqual(all)
    })
  })
})

describe('every page behind a mailed link', () => {
  const routes = () => served(route => route.url.startsWith('/h/'))
  const own = ['mailed link', 'cookie of a mailed link'] as const

  it.each(not(...own))('refuses the %s as link, cookie and bearer, and nothing changed', async kind => {
    const [forms, others] = [/:id\/(report|mails)$/, routes().map(named)]
    await nothingChangedBy(async () => {
      const calls = routes().map(route => [named(route), ask(route, secrets[kind], homeCookie)] as const)
      expect(await answersOf(kind, calls)).toEqual({
        403: others.filter(name => forms.test(name)),
        404: others.filter(name => !forms.test(name)),
      })
    })
  })

  it.each(own)('opens to the %s', async kind => {
    const calls = routes().map(route => [named(route), ask(route, secrets[kind], homeCookie)] as const)
    const { 200: shown = [], 303: done = [] } = await answersOf(kind, calls)
    expect([...shown, ...done].sort()).toEqual(routes().map(named).sort())
  })
})

describe('every page of the staff', () => {
  const routes = () => served(route => route.access.page !== undefined)

  it.each(not('session secret'))(
    'sends whoever has the %s as session cookie to sign in, and nothing changed',
    async kind => {
      const cookie = sessionCookieName(t.config.secure)
      await nothingChangedBy(async () => {
        const asked = routes().map(route => [named(route), ask(route, secrets[kind], cookie)] as const)
        expect(await answersOf(kind, asked)).toEqual({
          // What a form holds is kept until its sender has signed in.
          401: asked.flatMap(([name]) => (name.startsWith('POST') ? [name] : [])),
          303: asked.flatMap(([name]) => (name.startsWith('GET') ? [name] : [])),
        })
      })
    },
  )
})

describe('the page that sets a password', () => {
  const page: RouteRow = { method: 'GET', url: '/set-password/:secret', access: { open: '' }, operationId: null }

  it.each(not('invitation', 'link to a new password', 'link of the set-up'))('stays closed to the %s', async kind => {
    const { status, text } = await ask(page, secrets[kind], 'none')
    expect(status).toBe(404)
    expect(text).not.toContain('type="password"')
  })

  it.each(['invitation', 'link to a new password', 'link of the set-up'] as const)('opens to the %s', async kind => {
    expect((await ask(page, secrets[kind], 'none')).text).toContain('type="password"')
  })
})
