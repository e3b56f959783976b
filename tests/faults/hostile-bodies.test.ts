import { gzipSync } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Program } from '../support/actors.ts'
import { eventually } from '../support/eventually.ts'
import { rawRequest } from '../support/raw-http.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

let t: TestApp
let program: Program
beforeAll(async () => {
  t = await buildTestApp()
  program = await t.as.app()
})
afterAll(() => t.close())

const head = (more: string) =>
  `POST /v1/customers HTTP/1.1\r\nHost: 127.0.0.1:${t.port}\r\nAuthorization: Bearer ${program.token}\r\nIdempotency-Key: hostile-${Math.random()}\r\nContent-Type: application/json\r\n${more}\r\n\r\n`

const send = (body: string | Buffer, headers: Record<string, string> = {}) =>
  fetch(`${t.url}/v1/customers`, {
    method: 'POST',
    headers: {
      authorization: `Bearer ${program.token}`,
      'idempotency-key': `hostile-${Math.random()}`,
      'content-type': 'application/json',
      ...headers,
    },
    body,
  })

async function isRefused(answer: Response, statuses: readonly number[]) {
  const problem = (await answer.json()) as { status: number; type: string; errors?: unknown }
  expect(statuses).toContain(answer.status)
  expect(answer.headers.get('content-type')).toMatch(/^application\/problem\+json/)
  expect(problem.status).toBe(answer.status)
  return problem
}

describe('F21: a body that cannot be taken is refused with a problem', () => {
  it.each([
    ['is not JSON', '{"name":', [400]],
    ['is empty', '', [400]],
    ['names __proto__', '{"name":"A","__proto__":{"admin":true}}', [400]],
    ['names constructor.prototype', '{"name":"A","constructor":{"prototype":{"admin":true}}}', [400]],
    ['holds the NUL that PostgreSQL cannot store', '{"name":"A\\u0000B"}', [400, 422]],
    ['holds half a surrogate pair', '{"name":"A\\ud800B"}', [400, 422]],
    ['holds a number no double can hold', '{"name":1e400}', [400, 422]],
    ['names a field twice', '{"name":"A","name":"B"}', [400, 422]],
    ['is an array', '[]', [422]],
    ['is nested a hundred thousand deep', `${'['.repeat(100_000)}${']'.repeat(100_000)}`, [400, 422]],
    ['has a hundred thousand fields', `{${Array.from({ length: 60_000 }, (_, n) => `"f${n}":1`).join()}}`, [400, 422]],
  ])('that %s', async (_, body, statuses) => {
    await isRefused(await send(body as string), statuses as number[])
  })

  it('that is not UTF-8', async () => {
    await isRefused(await send(Buffer.from([...Buffer.from('{"name":"A'), 0xff, 0xfe, ...Buffer.from('"}')])), [400])
  })
  it('that is compressed, whatever it would become', async () => {
    const bomb = gzipSync(Buffer.alloc(50_000_000, 32))
    await isRefused(await send(bomb, { 'content-encoding': 'gzip' }), [415])
  })
  it('that is of a kind we do not read', async () => {
    await isRefused(await send('name=A', { 'content-type': 'application/x-www-form-urlencoded' }), [415])
  })
  it('that is one byte over the limit, while one of just the limit is read', async () => {
    const limit = 1024 * 1024
    const body = (size: number) => JSON.stringify({ name: 'A'.repeat(size - '{"name":""}'.length) })
    await isRefused(await send(body(limit)), [422])
    await isRefused(await send(body(limit + 1)), [413])
  })
})

describe('F21: a body that would never end is cut off', () => {
  it('when it announces a terabyte', async () => {
    const { statuses, afterMs } = await rawRequest(t.port, `${head('Content-Length: 1000000000000')}{`).ended
    expect(statuses).toEqual([413])
    expect(afterMs).toBeLessThan(5000)
  })
  it('when its chunks go on for ever', async () => {
    const request = rawRequest(t.port, head('Transfer-Encoding: chunked'))
    const chunk = `10000\r\n${'a'.repeat(0x10000)}\r\n`
    const timer = setInterval(() => request.socket.writable && request.socket.write(chunk), 2)
    const { statuses } = await request.ended
    clearInterval(timer)
    expect(statuses).toEqual([413])
  })
})

describe('S30: a request that could be read in two ways is refused and its connection closed', () => {
  it.each([
    [
      'with a length and chunks',
      'Content-Length: 4\r\nTransfer-Encoding: chunked',
      '0\r\n\r\nGET /healthz HTTP/1.1\r\nHost: x\r\n\r\n',
    ],
    ['with two lengths', 'Content-Length: 2\r\nContent-Length: 4', '{}{}'],
    ['with a bare line feed in its header', 'X-One: 1\nX-Two: 2\r\nContent-Length: 2', '{}'],
  ])('%s', async (_, headers, body) => {
    const { statuses } = await rawRequest(t.port, head(headers) + body).ended
    expect(statuses).toEqual([400])
  })
})

it('leaves nothing behind: no customer, no 5xx in the log, and it still answers', async () => {
  const { rows } = await t.db.pool.query('select count(*)::int as n from customer')
  expect(rows).toEqual([{ n: 0 }])
  expect(t.logged.lines.filter(line => line.level >= 50)).toEqual([])
  await eventually(async () => (await fetch(`${t.url}/healthz`)).status === 200)
})
