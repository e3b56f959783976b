import { randomUUID } from 'node:crypto'
import type { Response, Test } from 'supertest'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Program } from '../support/actors.ts'
import { call, pathOf } from '../support/api-call.ts'
import { type ApiRoute, apiRoutes } from '../support/api-routes.ts'
import { apiRows } from '../support/api-rows.ts'
import { drip, rawRequest } from '../support/raw-http.ts'
import { long } from '../support/scale.ts'
import { aTcpProxy, type TcpProxy } from '../support/tcp-proxy.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aWholeHome, type Home } from '../support/world.ts'

// B17: what every operation can be answered through no doing of its own, produced on each of them.

let t: TestApp
let program: Program
let home: Home
let routes: ApiRoute[]

beforeAll(async () => {
  t = await buildTestApp({ env: { TRUSTED_PROXIES: '127.0.0.1' } })
  program = await t.as.app()
  home = await aWholeHome(program, 'Alder')
  routes = apiRoutes(t.app)
})
afterAll(() => t.close())

const rowOf = (route: ApiRoute) => apiRows[route.operationId]!
const called = (route: ApiRoute, agent: Program['agent']) => call(route, rowOf(route), home, { agent, version: '"1"' })

/** Operations without a scope: a browser that is signed in may open the first three, a client posts to the others. */
async function openCalls(app: TestApp): Promise<Record<string, () => Test>> {
  const [{ clientId, secret }, owner] = [await app.as.app(), await app.as.owner()]
  const read = (path: string) => () =>
    app.as.anonymous.get(path).set('cookie', `${owner.cookie.name}=${owner.cookie.value}`)
  const post = (path: string, form: object) => () =>
    app.as.anonymous.post(path).auth(clientId, secret).type('form').send(form)
  return {
    authorizationServer: read('/.well-known/oauth-authorization-server'),
    protectedResource: read('/.well-known/oauth-protected-resource'),
    signingKeys: read('/.well-known/jwks.json'),
    issueToken: post('/oauth/token', { grant_type: 'client_credentials' }),
    revokeToken: post('/oauth/revoke', { token: 'unknown' }),
  }
}

const judged = ({ status, text }: Pick<Response, 'status' | 'text'>, wanted: number): string | null => {
  if (status !== wanted) return `${status} ${text.slice(0, 200)}`
  return JSON.parse(text).status === wanted && !/_away|relation|select /.test(text) ? null : text
}

async function faultsOf(calls: Iterable<readonly [string, () => Test]>, wanted: number): Promise<string[]> {
  const faults: string[] = []
  for (const [name, make] of calls) {
    const fault = judged(await make(), wanted)
    if (fault !== null) faults.push(`${name}: ${fault}`)
  }
  return faults
}
const scoped = (agent: Program['agent']) =>
  routes.map((route): [string, () => Test] => [route.operationId, () => called(route, agent)])

describe('every operation', () => {
  it('that makes something answers its twin 409 while the first is still at work, and makes it once', async () => {
    const gate = await t.db.pool.connect()
    for (const route of routes.filter(one => rowOf(one).ok === 201)) {
      const key = randomUUID()
      await gate.query('begin')
      // The first of the two waits here for room to keep its answer.
      await gate.query('lock table idempotency in share mode')
      const twins = [0, 1].map(() =>
        call(route, rowOf(route), home, { agent: program.agent, key }).then(answer => answer.status),
      )
      await Promise.race(twins)
      await gate.query('commit')
      expect((await Promise.all(twins)).sort(), route.operationId).toEqual([201, 409])
    }
    gate.release()
  })

  it('is 408 when a body does not arrive in time', async () => {
    const slow = routes.filter(route => route.method !== 'GET' && (long || !rowOf(route).file))
    const addresses = slow.map(route => ({
      head: `${route.method} ${pathOf(route, rowOf(route), home)}`,
      type: rowOf(route).file ? 'multipart/form-data; boundary=x' : 'application/json',
    }))
    const form = 'application/x-www-form-urlencoded'
    for (const path of ['/oauth/token', '/oauth/revoke']) addresses.push({ head: `POST ${path}`, type: form })
    const endings = await Promise.all(
      addresses.map(({ head, type }) => {
        const headers = `Host: x\r\nAuthorization: Bearer ${program.token}\r\nContent-Type: ${type}\r\nContent-Length: 9999`
        const request = rawRequest(t.port, `${head} HTTP/1.1\r\n${headers}\r\n\r\n`)
        drip(request, '-', 5000)
        return request.ended.then(({ statuses }) => `${head} ${statuses}`)
      }),
    )
    expect(endings).toEqual(addresses.map(({ head }) => `${head} 408`))
  })

  it('is 429 when its caller has spent its requests, here or at another process', async () => {
    const [fresh, address] = [await t.as.app(), '203.0.113.77']
    const open = Object.entries(await openCalls(t)).map(([name, make]): [string, () => Test] => [
      name,
      () => make().unset('cookie').set('x-forwarded-for', address),
    ])
    // What other processes counted: all that the app and the address have, for an hour.
    await t.db.pool.query(
      `insert into rate_count (key, taken, granted, ends_at) values
         ($1, 600, 0, now() + interval '1 hour'), ($2, 300, 0, now() + interval '1 hour')`,
      [`app:${fresh.id}`, `address:${address}`],
    )
    expect(await faultsOf([...scoped(fresh.agent), ...open], 429)).toEqual([])
  })

  it('is 503 and says when to try again, while the database is away', async () => {
    const target = new URL(t.databaseUrl)
    const proxy: TcpProxy = await aTcpProxy(Number(target.port))
    target.port = String(proxy.port)
    const cut = await buildTestApp({ databaseUrl: target.href })
    const [open, { agent }] = [await openCalls(cut), await cut.as.app()]
    proxy.refuse(true)
    proxy.cut()
    expect(await faultsOf([...scoped(agent), ...Object.entries(open)], 503)).toEqual([])
    expect((await agent.get('/v1/company')).headers['retry-after']).toBe('2')
    proxy.refuse(false)
    await cut.close()
    await proxy.close()
  })

  it('is 500 for a fault of ours, and says nothing of what is inside', async () => {
    const [open, { agent }] = [await openCalls(t), await t.as.app()]
    const whoAsks = ['app', 'app_secret', 'revoked_token']
    const { rows } = await t.db.pool.query<{ name: string }>(
      `select table_name as name from information_schema.tables
       where table_schema = 'public' and table_type = 'BASE TABLE'`,
    )
    const take = async (names: readonly string[]) => {
      for (const name of names) await t.db.pool.query(`alter table "${name}" rename to "${name}_away"`)
    }
    await take(rows.map(row => row.name).filter(name => !whoAsks.includes(name)))
    expect(await faultsOf(scoped(agent), 500)).toEqual([])
    await take(whoAsks)
    expect(await faultsOf(Object.entries(open), 500)).toEqual([])
  })
})
