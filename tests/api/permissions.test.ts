import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { allScopes, type Scope } from '../../src/features/apps/scopes.ts'
import type { RouteRow } from '../../src/platform/http/declared-access.ts'
import { routeTable } from '../../src/platform/http/server.ts'
import { assets } from '../../src/web/read-assets.ts'
import type { Program } from '../support/actors.ts'
import { call, versionOf } from '../support/api-call.ts'
import { type ApiRow, apiRows } from '../support/api-rows.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aWholeHome, type Home } from '../support/world.ts'

// S01 (ASVS v5.0.0-8.2.1, 8.2.2, 8.3.1; OWASP API1, API3, API5) over every route of the API.

let t: TestApp
let routes: (RouteRow & { operationId: string })[]
let mine: Home
let theirs: Home
let everything: Program
let limited: Program

beforeAll(async () => {
  t = await buildTestApp()
  everything = await t.as.app()
  mine = await aWholeHome(everything, 'Alder')
  theirs = await aWholeHome(everything, 'Birch')
  limited = await t.as.app({ homes: [mine.property] })
  routes = routeTable(t.app).filter(
    (route): route is RouteRow & { operationId: string } =>
      route.access.scope !== undefined && route.method !== 'HEAD' && route.operationId !== null,
  )
})
afterAll(() => t.close())

const each = async (work: (route: RouteRow & { operationId: string }, row: ApiRow) => Promise<string | null>) => {
  const faults: string[] = []
  for (const route of routes) {
    const row = apiRows[route.operationId]
    if (!row) continue
    const fault = await work(route, row)
    if (fault !== null) faults.push(`${route.method} ${route.url}: ${fault}`)
  }
  return faults
}

it('has a row for every route of the API and no row for another', () => {
  expect(routes.map(route => route.operationId).sort()).toEqual(Object.keys(apiRows).sort())
})

/** Served without a document: to whoever watches the service, to browsers, and to people whom no session tells. */
const beside = [
  ...['/healthz', '/readyz', '/metrics', '/openapi.json', '/.well-known/security.txt', '/problems', '/problems/:code'],
  ...[...Object.values(assets).map(({ path }) => path), '/company/logo'],
  ...['/sign-in', '/forgotten', '/set-password/:secret', '/h/:token', '/h/:token/stop', '/h/home/:id'],
].map(path => `GET ${path}`)
const forms = [
  ...['/sign-in', '/forgotten', '/set-password/:secret', '/scheme'],
  ...['/h/:token/stop', '/h/home/:id/report', '/h/home/:id/mails'],
].map(path => `POST ${path}`)

it('documents every route of the whole service but the pages of the staff and those that are named, and no other (B20)', () => {
  const served = routeTable(t.app).filter(({ method, access }) => method !== 'HEAD' && access.page === undefined)
  const document = t.app.swagger() as { paths: Record<string, object> }
  const documented = Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.keys(methods).map(method => `${method.toUpperCase()} ${path.replace(/\{(\w+)\}/g, ':$1')}`),
  )
  expect(served.map(({ method, url }) => `${method} ${url}`).sort()).toEqual(
    [...documented, ...beside, ...forms].sort(),
  )
})

describe('refuses', () => {
  it('nobody: 401 with a challenge', async () => {
    const faults = await each(async (route, row) => {
      const answer = await call(route, row, mine, { agent: t.as.anonymous })
      return answer.status === 401 && /^Bearer /.test(answer.headers['www-authenticate'] ?? '')
        ? null
        : String(answer.status)
    })
    expect(faults).toEqual([])
  })

  it('the owner’s own session cookie, because pages and API are apart: 401', async () => {
    const owner = await t.as.owner()
    const faults = await each(async (route, row) => {
      const answer = await call(route, row, mine, { agent: owner.agent.set('accept', '*/*') })
      return answer.status === 401 ? null : String(answer.status)
    })
    expect(faults).toEqual([])
  })

  it('an app that has every scope but the one declared: 403 that names it', async () => {
    const without = new Map<Scope, Program>()
    const faults = await each(async (route, row) => {
      const scope = route.access.scope as Scope
      if (!without.has(scope))
        without.set(scope, await t.as.app({ scopes: allScopes.filter(other => other !== scope) }))
      const answer = await call(route, row, mine, { agent: without.get(scope)!.agent })
      const challenge = String(answer.headers['www-authenticate'])
      return answer.status === 403 && challenge.includes(`scope="${scope}"`) ? null : `${answer.status} ${challenge}`
    })
    expect(faults).toEqual([])
  })

  it('an app outside its grant: the same bytes for a home of somebody else and for one that does not exist', async () => {
    const nowhere = Object.fromEntries(Object.keys(theirs).map(noun => [noun, randomUUID()])) as Home
    const faults = await each(async (route, row) => {
      if (row.company || !names(row)) return null
      const one = { agent: limited.agent, version: '"1"', requestId: 'same-request' }
      const foreign = await call(route, row, theirs, one)
      const missing = await call(route, row, nowhere, one)
      if (foreign.status !== missing.status) return `${foreign.status} for theirs, ${missing.status} for nothing`
      if (foreign.text !== missing.text) return `${foreign.text} differs from ${missing.text}`
      return [404, 422].includes(foreign.status) || (route.method === 'GET' && !route.url.includes(':'))
        ? null
        : `${foreign.status} ${foreign.text}`
    })
    expect(faults).toEqual([])
  })

  it('an access token that was lengthened, or whose signature was cut off: 401', async () => {
    for (const token of [`${limited.token}x`, limited.token.split('.').slice(0, 2).join('.')]) {
      const answer = await t.as.anonymous.get('/v1/customers').set('authorization', `Bearer ${token}`)
      expect(answer.status).toBe(401)
    }
  })
})

it('never shows an app outside its grant one id of another home, in any list', async () => {
  const ofCompany = ['device', 'spare', 'calibration', 'policy', 'absence', 'lot', 'kitLimit']
  const secrets = Object.entries(theirs).filter(([noun]) => !ofCompany.includes(noun))
  const faults = await each(async (route, row) => {
    if (route.method !== 'GET') return null
    const answer = await call(route, row, mine, { agent: limited.agent })
    const leaked = secrets.filter(([, id]) => answer.text?.includes(id))
    return leaked.length === 0 && !answer.text?.includes('Birch') ? null : `shows ${leaked.map(([noun]) => noun)}`
  })
  // Devices are the company's: their names stand in the list of devices, and where a closing names those that are free.
  expect(faults.filter(fault => !/devices|closing: shows $/.test(fault))).toEqual([])
})

it('lets an app with the scope and the grant do each thing, once, on its own home', async () => {
  // An import is its uploader's own, so this app looks at one of its own.
  const uploaded = await call(routes.find(route => route.operationId === 'startImport')!, apiRows.startImport!, mine, {
    agent: limited.agent,
  })
  mine = { ...mine, import: uploaded.body.id }
  const order = Object.keys(apiRows)
  const inOrder = [...routes].sort((a, b) => order.indexOf(a.operationId) - order.indexOf(b.operationId))
  const faults: string[] = []
  for (const route of inOrder) {
    const row = apiRows[route.operationId]!
    if (row.ids?.includes('saved'))
      mine = { ...mine, saved: (await limited.get('/v1/saved-readings')).body.items[0].id }
    const version = row.version && (await versionOf(limited.agent, row, mine))
    const answer = await call(route, row, mine, { agent: limited.agent, version })
    if (route.operationId === 'startImport') mine = { ...mine, import: answer.body.id }
    if (answer.status !== row.ok) faults.push(`${route.operationId}: ${answer.status} ${answer.text.slice(0, 300)}`)
  }
  expect(faults).toEqual([])
})

const names = (row: ApiRow) =>
  (row.ids ?? []).length > 0 || row.query !== undefined || row.file !== undefined || /home\./.test(String(row.body))
