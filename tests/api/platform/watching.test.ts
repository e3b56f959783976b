import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { startWorker } from '../../../src/platform/jobs/queue.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'
import { testSecrets } from '../../support/test-config.ts'

let t: TestApp
beforeAll(async () => {
  t = await buildTestApp()
})
afterAll(() => t.close())

const read = async (path: string, headers: Record<string, string> = {}) => {
  const answer = await fetch(t.url + path, { headers })
  return { status: answer.status, text: await answer.text() }
}

describe('B25: health', () => {
  it('is ready with a database, its migrations and a worker that lived within two minutes', async () => {
    expect(JSON.parse((await read('/readyz')).text)).toMatchObject({
      status: 'fail',
      checks: { database: { status: 'pass' }, migrations: { status: 'pass' }, worker: { status: 'fail' } },
    })
    const worker = await startWorker({ ...t, handlers: {}, periodic: [], log: t.log })
    await worker.stop()
    expect((await read('/readyz')).status).toBe(200)
    t.clock.advance(119_999)
    expect((await read('/readyz')).status).toBe(200)
    t.clock.advance(1)
    expect((await read('/readyz')).status).toBe(503)
  })

  it('is not ready below the level of this program, and says which it needs', async () => {
    await t.db.pool.query(`update _prisma_migrations set rolled_back_at = now() where migration_name =
      (select max(migration_name) from _prisma_migrations)`)
    const { status, text } = await read('/readyz')
    await t.db.pool.query('update _prisma_migrations set rolled_back_at = null')
    expect(status).toBe(503)
    expect(JSON.parse(text).checks.migrations.output).toMatch(/^at \d+_\w+, needs \d+_\w+$/)
  })
})

describe('S36, B26: metrics', () => {
  it('are for loopback, or whoever has the token; for others there is nothing', async () => {
    expect((await read('/metrics')).status).toBe(200)
    const through = { 'x-forwarded-for': '203.0.113.9' }
    expect((await read('/metrics', through)).status).toBe(404)
    expect((await read('/metrics', { ...through, authorization: 'Bearer wrong' })).status).toBe(404)
    const token = `Bearer ${testSecrets.METRICS_TOKEN}`
    expect((await read('/metrics', { ...through, authorization: token })).status).toBe(200)
  })

  it('count requests by route template: ten thousand addresses make no new series', async () => {
    const series = async () => (await read('/metrics')).text.split('\n').filter(line => !line.startsWith('#')).length
    await Promise.all(['/a', '/problems/b', '/v1/customers/c'].map(path => read(path)))
    const before = await series()
    for (let n = 0; n < 60; n++)
      await Promise.all([`/a${n}`, `/problems/b${n}`, `/v1/customers/${n}`].map(path => read(path)))
    expect(await series()).toBe(before)
    expect(before).toBeLessThan(300)
    expect((await read('/metrics')).text).toContain('route="/v1/customers/:id"')
  })
})

describe('B24: security.txt', () => {
  it('names a contact and expires within a year', async () => {
    const { text } = await read('/.well-known/security.txt')
    const expires = Date.parse(/^Expires: (.+)$/m.exec(text)?.[1] ?? '')
    expect(expires).toBeGreaterThan(t.clock.now() + 30 * 86_400_000)
    expect(expires).toBeLessThan(t.clock.now() + 365 * 86_400_000)
    expect(text).toMatch(/^Contact: mailto:/m)
    expect(text).toContain(`Canonical: ${t.url}/.well-known/security.txt`)
  })
})
