import { randomUUID } from 'node:crypto'
import { join } from 'node:path'
import pg from 'pg'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { addApp } from '../../src/features/apps/change-app.ts'
import { allScopes } from '../../src/features/apps/scopes.ts'
import { openDatabase } from '../../src/platform/db/client.ts'
import { type AppProcess, startApp } from '../support/app-process.ts'
import { aDatabase, type TestDatabase } from '../support/database.ts'
import { eventually } from '../support/eventually.ts'
import { aLog } from '../support/log.ts'
import { testFolder } from '../support/postgres.ts'
import { aCompany } from '../support/rows.ts'
import { figures } from '../support/scale.ts'
import { sqlSteps } from '../support/steps.ts'
import { aTcpProxy, type TcpProxy } from '../support/tcp-proxy.ts'
import { testSecrets } from '../support/test-config.ts'

let database: TestDatabase
/** Past the proxy. */
let direct: pg.Client
let proxy: TcpProxy
let app: AppProcess
let token: string
/** The statements whose answer is held back, and all that would follow it on that connection. */
let holding: RegExp | null = null
const commits = /^commit$/i

beforeAll(async () => {
  database = await aDatabase()
  const db = openDatabase({ url: database.url, log: aLog('silent').log })
  await aCompany(db.pool)
  const act = { actor: { kind: 'operator', id: null }, now: Date.now(), requestId: 'rig' } as const
  const client = await db.transaction(tx => addApp(tx, act, { name: 'Load', scopes: allScopes, allHomes: true }))
  await db.close()
  direct = new pg.Client(database.url)
  await direct.connect()
  proxy = await aTcpProxy(Number(new URL(database.url).port))
  const mute = new Set<number>()
  let speaking = 0
  const steps = sqlSteps(label => {
    if (holding?.test(label)) mute.add(speaking)
    return true
  })
  proxy.watch((chunk, way, connection) => {
    speaking = connection
    return way === 'to-server' ? steps(chunk, way, connection) : !mute.has(connection)
  })
  const proxied = new URL(database.url)
  proxied.port = String(proxy.port)
  app = await startApp({
    databaseUrl: proxied.href,
    env: { ...testSecrets, NODE_ENV: 'development', DATA_DIR: join(testFolder, `silent-${process.pid}`, 'data') },
  })
  await app.ready(60_000)
  const answer = await fetch(`${app.url}/oauth/token`, {
    method: 'POST',
    headers: { authorization: `Basic ${Buffer.from(`${client.clientId}:${client.secret}`).toString('base64')}` },
    body: new URLSearchParams({ grant_type: 'client_credentials' }),
  })
  token = ((await answer.json()) as { access_token: string }).access_token
})
afterAll(async () => {
  await app?.stop()
  await proxy?.close()
  await direct.end()
  await database.drop()
})

type Answer = { readonly status: number; readonly afterMs: number; readonly body: string; readonly headers: Headers }

async function ask(path: string, init: RequestInit = {}): Promise<Answer> {
  const start = performance.now()
  const answer = await fetch(app.url + path, init)
  const body = await answer.text()
  return { status: answer.status, afterMs: performance.now() - start, body, headers: answer.headers }
}
const list = () => ask('/v1/customers', { headers: { authorization: `Bearer ${token}` } })
const create = (name: string, key: string = name) =>
  ask('/v1/customers', {
    method: 'POST',
    headers: { authorization: `Bearer ${token}`, 'idempotency-key': key, 'content-type': 'application/json' },
    body: JSON.stringify({ name }),
  })
const addJob = () => direct.query(`select graphile_worker.add_job('seal-audit', '{"payload": {}, "requestId": "rig"}')`)
const jobsLeft = async () => {
  const { rows } = await direct.query(
    `select task_identifier as task, locked_at is not null as locked, attempts, last_error as error
       from graphile_worker.jobs where locked_at is not null or task_identifier = 'seal-audit'`,
  )
  return rows
}
const median = (answers: readonly Answer[]) =>
  answers.map(answer => answer.afterMs).sort((a, b) => a - b)[Math.floor(answers.length / 2)]
const longest = (answers: readonly Answer[]) => Math.max(...answers.map(answer => answer.afterMs))

it('F06: a queue that has ended by itself is started again', async () => {
  await eventually(async () => {
    const { rows } = await direct.query(
      `select from pg_stat_activity where datname = current_database() and query like 'LISTEN%worker:migrate%'`,
    )
    return rows.length === 1
  })
  // What its library takes for a newer version's start, and ends at.
  await direct.query(`notify "worker:migrate", '{"migrationNumber": 999, "breaking": true}'`)
  await eventually(() => app.output.includes('the queue has stopped working'))
  await addJob()
  await eventually(async () => expect(await jobsLeft()).toEqual([]))
})

it('F06: while the database is silent each request is refused within its time-outs, and what needs no record answers at once', async () => {
  expect((await Promise.all(Array.from({ length: 25 }, list))).map(answer => answer.status)).toEqual(
    Array(25).fill(200),
  )
  proxy.goSilent()
  const refused = Promise.all(Array.from({ length: 30 }, (_, n) => (n % 2 ? list() : create(randomUUID()))))
  const others: Answer[] = []
  let over = false
  void refused.finally(() => {
    over = true
  })
  await eventually(
    async () => {
      for (const path of ['/healthz', '/openapi.json', '/.well-known/jwks.json']) others.push(await ask(path))
      return over
    },
    45_000,
    200,
  )
  const answers = await refused
  const ready = await ask('/readyz')
  const metrics = await ask('/metrics')
  figures('F06 silent database', {
    refused: answers.length,
    'at most ms': Math.round(longest(answers)),
    'asked meanwhile': others.length,
    'at most ms, without the database': Math.round(longest(others)),
    'readyz ms': Math.round(ready.afterMs),
    'metrics ms': Math.round(metrics.afterMs),
  })
  for (const answer of answers) {
    expect(answer.status).toBe(503)
    expect(answer.headers.get('content-type')).toMatch(/^application\/problem\+json/)
    expect(answer.headers.get('retry-after')).toBe('2')
    expect(JSON.parse(answer.body)).toMatchObject({ status: 503, requestId: expect.any(String) })
  }
  // 5 s for a connection, 12 s for a statement; a little for thirty at once.
  expect(longest(answers)).toBeLessThan(18_000)
  expect([...new Set(others.map(answer => answer.status))]).toEqual([200])
  // They do not wait for a connection, which is waited for 5 s; on a busy machine one or another is slow all the same.
  expect(median(others)).toBeLessThan(5000)
  expect(ready.status).toBe(503)
  expect(ready.afterMs).toBeLessThan(5000)
  expect(metrics.body).toMatch(/^database_up 0$/m)
  expect(metrics.afterMs).toBeLessThan(5000)
})

it('F06: when the database speaks again the service does too by itself, and no refused write is there', async () => {
  proxy.speak()
  const back = performance.now()
  await eventually(async () => (await list()).status === 200, 20_000, 20)
  const after = performance.now() - back
  figures('F06 database back', { 'answers again after ms': Math.round(after) })
  expect(after).toBeLessThan(13_000)
  const many = await Promise.all(Array.from({ length: 25 }, list))
  expect([...new Set(many.map(answer => answer.status))]).toEqual([200])
  expect(JSON.parse(many[0]!.body).items).toEqual([])
  expect((await create('After the silence')).status).toBe(201)
  await app.ready()
  // Those that the silence interrupted have been given back, and a new one is worked.
  await addJob()
  await eventually(async () => expect(await jobsLeft()).toEqual([]))
})

it('F06: a job that was given out in an answer that never came is given back, and worked', async () => {
  holding = /_private_jobs[\s\S]* attempts = jobs\.attempts \+ 1/
  await addJob()
  await eventually(async () => expect(await jobsLeft()).toMatchObject([{ locked: true }]))
  holding = null
  await eventually(async () => expect(await jobsLeft()).toEqual([]), 60_000)
  expect(app.output).toContain('jobs that never reached their worker were given back')
})

it('F06: after a silence that nobody noticed, one request finds out for all the connections that idle', async () => {
  await Promise.all(Array.from({ length: 25 }, list))
  expect(proxy.connections).toBeGreaterThan(5)
  proxy.goSilent()
  proxy.speak()
  await list()
  const next = await Promise.all(Array.from({ length: 25 }, list))
  expect([...new Set(next.map(answer => answer.status))]).toEqual([200])
  expect(longest(next)).toBeLessThan(5000)
})

it('F06: a commit whose answer is lost is not called unsaved, and the same key finds what became of it', async () => {
  holding = commits
  const name = randomUUID()
  const cut = await create(name)
  holding = null
  expect(cut.status).toBe(503)
  expect(JSON.parse(cut.body).detail).toContain('may be saved or not')
  const again = await create(name)
  expect(again.status).toBe(201)
  const all = JSON.parse((await list()).body).items as { name: string }[]
  expect(all.filter(customer => customer.name === name)).toHaveLength(1)
})
