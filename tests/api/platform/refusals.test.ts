import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Program } from '../../support/actors.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let t: TestApp
let app: Program
beforeAll(async () => {
  t = await buildTestApp()
  app = await t.as.app()
})
afterAll(() => t.close())

type Problem = {
  type: string
  title: string
  status: number
  detail: string
  requestId: string
  errors?: { pointer: string; code: string; detail: string; found?: string }[]
}
const call = (path: string, init: RequestInit = {}) =>
  fetch(t.url + path, { ...init, headers: { authorization: `Bearer ${app.token}`, ...init.headers } })
const post = (body: string, headers: Record<string, string> = {}) =>
  call('/v1/customers', {
    method: 'POST',
    body,
    headers: { 'content-type': 'application/json', 'idempotency-key': crypto.randomUUID(), ...headers },
  })

describe('B01: every refusal is a problem document whose type opens', () => {
  const refusals: [what: string, status: number, ask: () => Promise<Response>][] = [
    ['an address with nothing at it', 404, () => call('/nowhere')],
    ['an API address with nothing at it', 404, () => call('/v1/nowhere')],
    ['an identifier that can be none', 404, () => call('/v1/customers/17')],
    ['an identifier that is too long for one', 404, () => call(`/v1/customers/${'7'.repeat(3000)}`)],
    ['a method that is not there', 405, () => call('/v1/customers', { method: 'DELETE' })],
    ['no token', 401, () => call('/v1/customers', { headers: { authorization: '' } })],
    ['a type that is not answered', 406, () => call('/v1/customers', { headers: { accept: 'image/png' } })],
    ['a type that is not taken', 415, () => post('a=1', { 'content-type': 'application/x-www-form-urlencoded' })],
    ['a body that is no JSON', 400, () => post('{"name":')],
    ['a body with __proto__', 400, () => post('{"__proto__":{"owner":true},"name":"Ada"}')],
    ['a body over the limit', 413, () => post(JSON.stringify({ name: 'x'.repeat(1_100_000) }))],
    ['an unknown field', 422, () => post('{"name":"Ada","owner":true}')],
    ['U+0000 in a text', 422, () => post('{"name":"A\\u0000da"}')],
    ['half a surrogate pair in a text', 422, () => post('{"name":"A\\ud800da"}')],
    ['U+0000 in a query', 400, () => call('/v1/customers?name=%00')],
    ['an unknown parameter', 400, () => call('/v1/customers?colour=red')],
    ['a parameter twice', 400, () => call('/v1/customers?limit=1&limit=2')],
    ['a parameter called __proto__', 400, () => call('/v1/customers?__proto__=1')],
    ['a limit of 0', 400, () => call('/v1/customers?limit=0')],
    ['a limit over 200', 422, () => call('/v1/customers?limit=201')],
    ['a cursor of nobody', 400, () => call('/v1/customers?cursor=abc.def')],
    ['no Idempotency-Key', 400, () => post('{"name":"Ada"}', { 'idempotency-key': '' })],
    ['an address that can not be decoded', 400, () => call('/v1/customers/%E0%A4%A')],
  ]
  it.each(refusals)('%s: %i', async (_what, status, ask) => {
    const answer = await ask()
    const problem = (await answer.json()) as Problem
    expect([answer.status, problem.status]).toEqual([status, status])
    expect(answer.headers.get('content-type')).toBe('application/problem+json; charset=utf-8')
    expect(problem).toMatchObject({ title: expect.any(String), detail: expect.any(String) })
    expect(problem.requestId).toBe(answer.headers.get('x-request-id'))
    expect((await fetch(problem.type)).status).toBe(200)
  })

  it('405 names the methods that are there', async () => {
    const answer = await call('/v1/customers', { method: 'DELETE' })
    expect(answer.headers.get('allow')).toBe('GET, HEAD, OPTIONS, POST')
  })

  it('OPTIONS names them too', async () => {
    const answer = await call('/v1/customers', { method: 'OPTIONS' })
    expect([answer.status, answer.headers.get('allow')]).toEqual([204, 'GET, HEAD, OPTIONS, POST'])
  })

  it('lists every fault of a body: where, what is wrong, what was found', async () => {
    const problem = (await (await post('{"name":7,"kind":"ghost","colour":"red"}')).json()) as Problem
    expect(problem.errors?.map(error => [error.pointer, error.code, error.found]).sort()).toEqual([
      ['#/colour', 'unknown-field', undefined],
      ['#/kind', 'not-allowed', '"ghost"'],
      ['#/name', 'wrong-type', '7'],
    ])
  })
})

describe('S11-S18, B27: every answer carries the headers', () => {
  const answers: [string, () => Promise<Response>][] = [
    ['a page of a problem', () => fetch(`${t.url}/problems`)],
    ['nothing there', () => fetch(`${t.url}/nowhere`)],
    ['a page of an error', () => fetch(`${t.url}/nowhere`, { headers: { accept: 'text/html' } })],
    [
      'a link that is too long',
      () => fetch(`${t.url}/set-password/${'a'.repeat(3000)}`, { headers: { accept: 'text/html' } }),
    ],
    ['a method that is not there', () => fetch(`${t.url}/healthz`, { method: 'PUT' })],
    ['a list', () => call('/v1/customers')],
    ['a body over the limit', () => post(JSON.stringify({ name: 'x'.repeat(1_100_000) }))],
  ]
  it.each(answers)('%s', async (_what, ask) => {
    const { headers } = await ask()
    const policy = headers.get('content-security-policy') ?? ''
    expect(policy).toMatch(/default-src 'none'.*base-uri 'none'.*object-src 'none'.*frame-ancestors 'none'/)
    expect(policy).not.toMatch(/unsafe|\*/)
    expect(headers.get('x-content-type-options')).toBe('nosniff')
    expect(headers.get('referrer-policy')).toBe('strict-origin-when-cross-origin')
    expect(headers.get('cache-control')).toBe('no-store')
    expect(headers.get('content-type')).toMatch(/charset=utf-8$/)
    expect(headers.get('x-request-id')).toMatch(/^[\w.-]{8,64}$/)
    expect(headers.get('access-control-allow-origin')).toBeNull()
    expect(headers.get('strict-transport-security')).toBeNull()
  })

  it('keeps the request id of the caller, or the trace it belongs to, and no id that could forge a line', async () => {
    const idFor = async (headers: Record<string, string>) =>
      (await fetch(`${t.url}/healthz`, { headers })).headers.get('x-request-id')
    expect(await idFor({ 'x-request-id': 'order-20261125' })).toBe('order-20261125')
    const trace = '4bf92f3577b34da6a3ce929d0e0e4736'
    expect(await idFor({ traceparent: `00-${trace}-00f067aa0ba902b7-01` })).toBe(trace)
    expect(await idFor({ 'x-request-id': 'a b"}{' })).not.toBe('a b"}{')
  })

  it('S15: answers no foreign origin', async () => {
    const { headers } = await call('/v1/customers', { headers: { origin: 'https://evil.example' } })
    expect([...headers.keys()].filter(name => name.startsWith('access-control'))).toEqual([])
  })

  it('S29: believes no forwarded address from a peer that is not listed', async () => {
    await fetch(`${t.url}/problems`, { headers: { 'x-forwarded-for': '203.0.113.9', 'x-forwarded-proto': 'https' } })
    expect(t.logged.text()).not.toContain('203.0.113.9')
  })

  it('S42: writes no token into the log', async () => {
    await call('/v1/customers')
    expect(t.logged.text()).not.toContain(app.token.slice(-40))
  })
})
