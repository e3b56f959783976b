import { randomUUID } from 'node:crypto'
import type { Response, Test } from 'supertest'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Program } from '../support/actors.ts'
import { call, pathOf, recordOf, versionOf } from '../support/api-call.ts'
import { type ApiRoute, apiRoutes } from '../support/api-routes.ts'
import { type ApiRow, apiRows } from '../support/api-rows.ts'
import { sqlPayloads } from '../support/payloads.ts'
import { changedTables, databaseDigest } from '../support/reconcile.ts'
import { figures, long } from '../support/scale.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aWholeHome, type Home } from '../support/world.ts'

let t: TestApp
let home: Home
let program: Program
let calls = 0
let routes: ApiRoute[]
let before: Record<string, string>
// Calls are counted, rates are limited, tokens are used: that is all a refused request may leave.
const but = ['app_secret', 'app', 'audit', 'change', 'fact_revision']

beforeAll(async () => {
  t = await buildTestApp()
  program = await t.as.app()
  home = await aWholeHome(program, 'Alder')
  routes = apiRoutes(t.app)
  before = await databaseDigest(t.db.pool, but)
})
afterAll(() => t.close())

/** An app that has calls left in this minute. */
async function caller(): Promise<Program['agent']> {
  calls += 1
  if (calls % 400 === 0) program = await t.as.app()
  return program.agent
}

type Described = { parameters?: { name: string; in: string }[]; responses: Record<string, unknown> }
/** What the API document says of a route. */
const operationOf = (route: ApiRoute): Described | undefined =>
  (t.app.swagger() as unknown as { paths: Record<string, Record<string, Described>> }).paths[
    route.url.replace(/:(\w+)/g, '{$1}')
  ]?.[method(route)]

const types = new Set<string>()
async function faultOf(test: Test, statuses: readonly number[]): Promise<string | null> {
  const answer: Response = await test
  if (!statuses.includes(answer.status))
    return `${answer.status}, not ${statuses.join(' or ')} ${answer.text?.slice(0, 200)}`
  if (!/^application\/problem\+json/.test(answer.headers['content-type'] ?? ''))
    return `came as ${answer.headers['content-type']}`
  const body = JSON.parse(answer.text)
  types.add(body.type)
  if (body.status !== answer.status || !body.requestId || !body.title || !body.detail) return answer.text
  return [400, 422].includes(answer.status) &&
    body.errors &&
    !body.errors.every((error: { pointer: string }) => error.pointer.startsWith('#'))
    ? answer.text
    : null
}

async function each(
  of: (route: ApiRoute) => boolean,
  make: (route: ApiRoute, row: ApiRow, agent: Program['agent']) => Test,
  statuses: readonly number[],
) {
  const faults: string[] = []
  for (const route of routes.filter(of)) {
    const row = apiRows[route.operationId]
    if (!row) continue
    const fault = await faultOf(make(route, row, await caller()), statuses)
    if (fault !== null) faults.push(`${route.operationId}: ${fault}`)
  }
  return faults
}

const reads = (route: ApiRoute) => route.method === 'GET'
const withQuery = (path: string, query: string) => `${path}${path.includes('?') ? '&' : '?'}${query}`
const pages = (route: ApiRoute) =>
  operationOf(route)?.parameters?.some(one => one.in === 'query' && one.name === 'limit') ?? false
const writes = (route: ApiRoute) => route.method !== 'GET'
const takesText = (route: ApiRoute) => writes(route) && !apiRows[route.operationId]?.file
const takesJson = (route: ApiRoute) => apiRows[route.operationId]?.body !== undefined
const creates = (route: ApiRoute) => apiRows[route.operationId]?.ok === 201
const versioned = (route: ApiRoute) => apiRows[route.operationId]?.version !== undefined
const method = (route: ApiRoute) => route.method.toLowerCase() as 'get' | 'post' | 'patch' | 'delete'
const bodied = (route: ApiRoute, row: ApiRow, agent: Program['agent']) =>
  agent[method(route)](pathOf(route, row, home))
    .set('idempotency-key', randomUUID())
    .set('if-match', '"1"')

describe('B01: refuses with a problem, on every route that it can happen on,', () => {
  it('an address that names nothing: 404', async () => {
    const nowhere = Object.fromEntries(Object.keys(home).map(noun => [noun, randomUUID()])) as Home
    const named = (route: ApiRoute) => route.url.includes(':')
    expect(
      await each(named, (route, row, agent) => call(route, row, nowhere, { agent, version: '"1"' }), [404]),
    ).toEqual([])
  })
  it('an identifier that is none: 400, 404 or 422', async () => {
    const junk = Object.fromEntries(Object.keys(home).map(noun => [noun, 'not-an-id'])) as Home
    const named = (route: ApiRoute) => route.url.includes(':')
    expect(
      await each(named, (route, row, agent) => call(route, row, junk, { agent, version: '"1"' }), [400, 404, 422]),
    ).toEqual([])
  })
  it('a media type it does not speak: 406', async () => {
    expect(
      await each(
        () => true,
        (route, row, agent) => call(route, row, home, { agent, version: '"1"' }).set('accept', 'application/xml'),
        [406],
      ),
    ).toEqual([])
  })
  it('a query parameter it does not know: 400', async () => {
    const asked = (route: ApiRoute, row: ApiRow) => withQuery(pathOf(route, row, home), 'colour=blue')
    expect(
      await each(
        () => true,
        (route, row, agent) => agent[method(route)](asked(route, row)).set('if-match', '"1"'),
        [400],
      ),
    ).toEqual([])
  })
  it('a page size out of bounds: 422 when too big, else 400', async () => {
    const limited = (route: ApiRoute, row: ApiRow, limit: number) =>
      withQuery(pathOf(route, row, home), `limit=${limit}`)
    expect(await each(pages, (route, row, agent) => agent.get(limited(route, row, 201)), [422])).toEqual([])
    expect(await each(pages, (route, row, agent) => agent.get(limited(route, row, 0)), [400])).toEqual([])
  })
  it('a body that is not JSON: 400', async () => {
    expect(
      await each(
        takesJson,
        (route, row, agent) => bodied(route, row, agent).type('application/json').send('{"a":'),
        [400],
      ),
    ).toEqual([])
  })
  it('a body of another kind: 415', async () => {
    expect(
      await each(
        writes,
        (route, row, agent) => bodied(route, row, agent).set('content-type', 'text/plain').send('a'),
        [415],
      ),
    ).toEqual([])
  })
  it('a body over the limit: 413', async () => {
    const big = JSON.stringify({ note: 'x'.repeat(1024 * 1024) })
    expect(
      await each(takesText, (route, row, agent) => bodied(route, row, agent).type('application/json').send(big), [413]),
    ).toEqual([])
  })
  it('a body with what can not be stored, also where none is read: 422', async () => {
    expect(
      await each(takesText, (route, row, agent) => bodied(route, row, agent).send({ note: 'a\0b' }), [422]),
    ).toEqual([])
  })
  it('a body that is a list: 422', async () => {
    expect(await each(takesJson, (route, row, agent) => bodied(route, row, agent).send([]), [422])).toEqual([])
  })
  it('a creation without a key: 400', async () => {
    expect(
      await each(creates, (route, row, agent) => call(route, row, home, { agent }).unset('idempotency-key'), [400]),
    ).toEqual([])
  })
  it('a change that does not say of which version: 428', async () => {
    expect(await each(versioned, (route, row, agent) => call(route, row, home, { agent }), [428])).toEqual([])
  })
  it('a version that is no tag of ours: 400', async () => {
    expect(
      await each(versioned, (route, row, agent) => call(route, row, home, { agent, version: '"yesterday"' }), [400]),
    ).toEqual([])
  })
  it('a version that is not there yet: 412', async () => {
    expect(
      await each(versioned, (route, row, agent) => call(route, row, home, { agent, version: '"99"' }), [412]),
    ).toEqual([])
  })
})

it('B03: a change meant for a version that has passed is 412 on every operation, and changes no row of any table', async () => {
  const { agent } = await t.as.app()
  const rowsOf = new Map(routes.filter(versioned).map(route => [route, apiRows[route.operationId]!]))
  const passed = new Map<ApiRoute, string>()
  for (const [route, row] of rowsOf) passed.set(route, await versionOf(agent, row, home))
  const corrected = [
    'customer',
    'property',
    'foundation_area',
    'test_location',
    'property_person',
    'work_party',
    'home_event',
    'system',
  ]
  const ofDevices = ['device', 'device_booking', 'device_absence', 'kit', 'kit_limit']
  for (const table of [
    ...corrected,
    ...ofDevices,
    'test',
    'visit',
    'callback',
    'outreach',
    'import_batch',
    'correction',
  ])
    await t.db.pool.query(`update ${table} set version = version + 1`)
  await t.db.pool.query(`update note set voided_at = now(), void_reason = 'Misread' where id = $1`, [home.note])
  const records = async () => {
    const texts: Record<string, string> = {}
    for (const row of rowsOf.values()) texts[recordOf(row, home)] = (await agent.get(recordOf(row, home))).text
    return texts
  }
  const [read, kept] = [await records(), await databaseDigest(t.db.pool)]
  const faults = await each(
    versioned,
    (route, row) => call(route, row, home, { agent, version: passed.get(route)! }),
    [412],
  )
  expect(faults).toEqual([])
  expect(changedTables(kept, await databaseDigest(t.db.pool))).toEqual([])
  expect(await records()).toEqual(read)
  expect(rowsOf.size).toBeGreaterThan(25)
})

it('B03: answers 304 without a body to whoever has this very version, on every read but search and feed', async () => {
  const faults: string[] = []
  for (const route of routes.filter(reads)) {
    const row = apiRows[route.operationId]!
    const agent = await caller()
    const { etag } = (await agent.get(pathOf(route, row, home))).headers
    if (!etag && !operationOf(route)?.responses['304'] && /searchHomes|listChanges/.test(route.operationId)) continue
    const answer = await agent.get(pathOf(route, row, home)).set('if-none-match', etag!)
    if (answer.status !== 304 || answer.text) faults.push(`${route.operationId}: ${answer.status}`)
  }
  expect(faults).toEqual([])
})

it('S03: takes no column of the database as a field of a body, and says which it does not know', async () => {
  const { rows } = await t.db.pool.query<{ name: string }>(
    `select distinct column_name as name from information_schema.columns where table_schema = 'public' order by 1`,
  )
  const camel = (name: string) => name.replace(/_(\w)/g, (_, letter: string) => letter.toUpperCase())
  const foreign = Object.fromEntries(
    rows.flatMap(({ name }) =>
      name.includes('_')
        ? [
            [name, 'x'],
            [`${camel(name)}X`, 'x'],
          ]
        : [],
    ),
  )
  expect(
    await each(
      takesJson,
      (route, row, agent) => bodied(route, row, agent).send({ ...row.body!(home), ...foreign }),
      [422],
    ),
  ).toEqual([])
})

it('S05: takes hostile text for text in every string of every body and query: no 5xx, no fault of SQL in the log', async () => {
  const payloads = long ? sqlPayloads : sqlPayloads.filter((_, n) => n % 5 === 0)
  const faults: string[] = []
  let tried = 0
  const tryIt = async (name: string, make: (agent: Program['agent']) => Test) => {
    tried += 1
    const { status, text } = await make(await caller())
    if (status >= 500) faults.push(`${name}: ${status} ${text}`)
  }
  for (const route of routes) {
    const row = apiRows[route.operationId]
    if (!row) continue
    const operation = operationOf(route)
    for (const payload of payloads) {
      for (const parameter of operation?.parameters?.filter(one => one.in === 'query') ?? [])
        await tryIt(`${route.operationId} ?${parameter.name}`, agent =>
          agent.get(pathOf(route, { ...row, query: undefined }, home)).query({ [parameter.name]: payload }),
        )
      for (const [field, value] of Object.entries(row.body?.(home) ?? {}))
        if (typeof value === 'string')
          await tryIt(`${route.operationId} ${field}`, agent =>
            bodied(route, row, agent)
              .set('if-match', '"99"')
              .send({ ...row.body!(home), [field]: payload }),
          )
    }
  }
  const said = t.logged.lines.filter(
    line => line.level >= 50 || /syntax error|unterminated|invalid input syntax/.test(JSON.stringify(line)),
  )
  figures('S05', { requests: tried, '5xx': faults.length, 'faults in the log': said.length })
  expect(faults).toEqual([])
  expect(said).toEqual([])
})

it('B01: leaves nothing behind but what was asked for, and each kind of problem has a page', async () => {
  for (const type of types) {
    const answer = await fetch(type)
    expect(answer.status, type).toBe(200)
  }
  figures('B01', { requests: calls, 'kinds of problem': types.size })
  expect(calls).toBeGreaterThan(200)
  const changed = changedTables(before, await databaseDigest(t.db.pool, but))
  expect(
    changed.filter(name => ['staff', 'app_grant', 'company', 'policy', 'visit_crew', 'notice', 'mail'].includes(name)),
  ).toEqual([])
})
