import { afterAll, beforeAll, expect, it } from 'vitest'
import type { Program } from '../support/actors.ts'
import { drip, type RawRequest, rawRequest } from '../support/raw-http.ts'
import { figures, size } from '../support/scale.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

let t: TestApp
let program: Program
beforeAll(async () => {
  t = await buildTestApp()
  program = await t.as.app()
})
afterAll(() => t.close())

const median = (times: readonly number[]) => [...times].sort((a, b) => a - b)[Math.floor(times.length / 2)]!
const p95 = (times: readonly number[]) => [...times].sort((a, b) => a - b)[Math.floor(times.length * 0.95)]!

async function timed(count: number): Promise<number[]> {
  const times: number[] = []
  for (let n = 0; n < count; n++) {
    const start = performance.now()
    const answer = await fetch(`${t.url}/v1/customers`, { headers: { authorization: `Bearer ${program.token}` } })
    await answer.text()
    expect(answer.status).toBe(200)
    times.push(performance.now() - start)
  }
  return times
}

it('F20: closes slow headers, slow bodies and idle sockets within 20 s with 408, and serves others meanwhile', async () => {
  await timed(20)
  const calm = await timed(60)
  const many = size(40, 500)
  const open = (first: string, piece: string): RawRequest[] =>
    Array.from({ length: many }, () => {
      const request = rawRequest(t.port, first)
      if (piece) drip(request, piece, 1000)
      return request
    })
  const post = `POST /v1/customers HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer ${program.token}\r\nIdempotency-Key: slow-client\r\nContent-Type: application/json\r\n`
  const kinds = {
    'slow header': open('GET /healthz HTTP/1.1\r\nHost: x\r\n', 'X-Slow: 1\r\n'),
    'slow body': open(`${post}Content-Length: 1000\r\n\r\n{`, ' '),
    idle: open('', ''),
  }
  const busy = await timed(60)
  for (const [kind, requests] of Object.entries(kinds)) {
    const endings = await Promise.all(requests.map(request => request.ended))
    const after = endings.map(ending => ending.afterMs)
    figures(`F20 ${kind}`, {
      sockets: many,
      'closed after s (median)': (median(after) / 1000).toFixed(1),
      'at most': (Math.max(...after) / 1000).toFixed(1),
    })
    expect(Math.max(...after)).toBeLessThan(21_000)
    expect([...new Set(endings.flatMap(ending => ending.statuses))]).toEqual([408])
  }
  figures('F20 others', { 'p95 calm ms': p95(calm).toFixed(1), 'p95 meanwhile ms': p95(busy).toFixed(1) })
  expect(p95(busy)).toBeLessThan(Math.max(100, 5 * p95(calm)))
})

it('F20: answers pipelined requests in their order', async () => {
  const request = rawRequest(
    t.port,
    'GET /healthz HTTP/1.1\r\nHost: x\r\n\r\n'.repeat(10) +
      'GET /nowhere HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n',
  )
  const { statuses } = await request.ended
  expect(statuses).toEqual([...Array(10).fill(200), 404])
})
