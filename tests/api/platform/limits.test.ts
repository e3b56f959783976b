import { fastify } from 'fastify'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { declareAccess } from '../../../src/platform/http/declared-access.ts'
import { accepts } from '../../../src/platform/http/media-types.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let t: TestApp
beforeAll(async () => {
  t = await buildTestApp()
})
afterAll(() => t.close())

describe('S27, B12: rates', () => {
  it('an app has 600 requests a minute; the next is 429 with the seconds to wait, and another app is not touched', async () => {
    const [busy, calm] = [await t.as.app(), await t.as.app()]
    const seen = []
    for (let n = 0; n < 600; n++) seen.push((await busy.get('/v1/customers?limit=1')).headers.ratelimit)
    const refused = await busy.get('/v1/customers?limit=1').expect(429)
    expect(seen.at(0)).toMatch(/^"app";r=599;t=\d+$/)
    expect(seen.at(-1)).toMatch(/^"app";r=0;t=\d+$/)
    expect(refused.headers['ratelimit-policy']).toBe('"app";q=600;w=60')
    expect(Number(refused.headers['retry-after'])).toBeGreaterThan(0)
    expect(Number(refused.headers['retry-after'])).toBeLessThanOrEqual(60)
    await calm.get('/v1/customers?limit=1').expect(200)
    expect(t.logged.lines.filter(line => line.msg === 'rate limit reached')).toHaveLength(1)
  })
})

describe('B14: a route without declared access', () => {
  it.each([
    ['nothing', {}],
    ['two things', { open: 'all', page: [] }],
  ])('that declares %s keeps the service from starting', (_what, config) => {
    const app = fastify()
    declareAccess(app)
    expect(() => app.get('/secret', { config }, () => 'x')).toThrow(/must be one/)
  })

  it('under /v1 must have a scope', () => {
    const app = fastify()
    declareAccess(app)
    expect(() => app.get('/v1/secret', { config: { open: 'all' } }, () => 'x')).toThrow(/without a scope/)
  })
})

describe('B02: Accept', () => {
  it.each([
    [undefined, true],
    ['*/*', true],
    ['application/*', true],
    ['text/html, application/json;q=0.1', true],
    ['text/html', false],
    ['application/json;q=0, */*', false],
    ['image/*, */*;q=0', false],
  ])('%s lets JSON through: %s', (accept, through) => {
    expect(accepts(accept, 'application/json')).toBe(through)
  })
})
