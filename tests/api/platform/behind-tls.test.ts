import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let t: TestApp
beforeAll(async () => {
  t = await buildTestApp({ env: { PUBLIC_URL: 'https://radon.example.net', TRUSTED_PROXIES: '127.0.0.1' } })
})
afterAll(() => t.close())

const through = (path: string, forwarded: Record<string, string>, init: RequestInit = {}) =>
  fetch(`http://127.0.0.1:${t.port}${path}`, {
    ...init,
    headers: { ...forwarded, ...init.headers },
    redirect: 'manual',
  })
const tls = { 'x-forwarded-for': '203.0.113.9', 'x-forwarded-proto': 'https' }
const plain = { 'x-forwarded-for': '203.0.113.9', 'x-forwarded-proto': 'http' }

describe('behind a listed proxy with TLS', () => {
  it('S14: every answer asks for https for a year', async () => {
    for (const path of ['/healthz', '/nowhere', '/v1/customers'])
      expect((await through(path, tls)).headers.get('strict-transport-security')).toBe(
        'max-age=31536000; includeSubDomains',
      )
  })

  it('S19: every operation of the API is refused over plain http, in words and without a redirect', async () => {
    const paths = (t.app.swagger() as { paths: Record<string, object> }).paths
    const operations = Object.entries(paths).flatMap(([path, methods]) =>
      path.startsWith('/.well-known/') ? [] : Object.keys(methods).map(method => ({ path, method })),
    )
    expect(operations.length).toBeGreaterThan(80)
    for (const { path, method } of operations) {
      const filled = path.replace(/\{\w+\}/g, '0190f2a4-7c1e-7000-8000-000000000000')
      const answer = await through(filled, plain, { method: method.toUpperCase() })
      expect(answer.status, `${method} ${path}`).toBe(403)
      expect(((await answer.json()) as { type: string }).type).toBe(
        'https://radon.example.net/problems/insecure-transport',
      )
    }
    expect((await through('/v1/customers', tls)).status).toBe(401)
  })

  it('S29: the address the proxy names is the one that is written down', async () => {
    await through('/nowhere', tls)
    expect(t.logged.lines.at(-1)).toMatchObject({ ip: '203.0.113.9', status: 404 })
  })

  it('S16, S17: cookies are bound to this host, and forms to it and to their session', async () => {
    const owner = await t.as.owner()
    expect(owner.cookie.name).toMatch(/^__Host-/)
    const form = (headers: Record<string, string>, csrf: string) =>
      through('/people/new', tls, {
        method: 'POST',
        headers: {
          cookie: `${owner.cookie.name}=${owner.cookie.value}`,
          'content-type': 'application/x-www-form-urlencoded',
          accept: 'text/html',
          ...headers,
        },
        body: new URLSearchParams({ _csrf: csrf, _key: crypto.randomUUID(), name: 'Ada' }).toString(),
      })
    const other = await t.as.office()
    const same = { origin: 'https://radon.example.net', 'sec-fetch-site': 'same-origin' }
    expect((await form(same, '')).status).toBe(403)
    expect((await form(same, other.csrf)).status).toBe(403)
    expect((await form({ origin: 'null' }, owner.csrf)).status).toBe(403)
    expect((await form({ origin: 'https://evil.example' }, owner.csrf)).status).toBe(403)
    expect((await form({ 'sec-fetch-site': 'cross-site' }, owner.csrf)).status).toBe(403)
    expect((await t.db.pool.query('select 1 from customer')).rowCount).toBe(0)
    expect((await form(same, owner.csrf)).status).not.toBe(403)
  })
})
