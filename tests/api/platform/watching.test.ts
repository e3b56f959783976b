import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest'
import { startWorker } from '../../../src/platform/jobs/worker.ts'
import { eventually } from '../../support/eventually.ts'
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

  it('count requests by route template: ten thousand addresses make no new series', { timeout: 180_000 }, async () => {
    const lines = async () => (await read('/metrics')).text.split('\n').filter(line => !line.startsWith('#'))
    // Forty callers, so that no address has more than its three hundred a minute.
    const ask = (path: string, n: number) => t.app.inject({ url: path, remoteAddress: `10.0.0.${n % 40}` })
    await Promise.all(['/a', '/problems/b', '/v1/customers/c'].map(ask))
    const before = (await lines()).length
    const refused = new Map<number, number>()
    for (let n = 0; n < 10_000; n += 3) {
      const paths = [`/a${n}`, `/problems/b${n}`, `/v1/customers/${n}`]
      for (const { statusCode } of await Promise.all(paths.map(path => ask(path, n / 3))))
        refused.set(statusCode, (refused.get(statusCode) ?? 0) + 1)
    }
    expect([...refused].sort()).toEqual([
      [401, 3334],
      [404, 6668],
    ])
    expect(await lines()).toHaveLength(before)
    expect(before).toBeLessThan(300)
    const counted = 'http_request_duration_seconds_count{method="GET",route="/v1/customers/:id",status="4xx"} 3335'
    expect(await lines()).toContain(counted)
  })

  it('say by how long the feed of changes is behind: it grows while an older transaction runs, and ends with it', async () => {
    const lag = async () => Number(/^feed_lag_seconds (.+)$/m.exec((await read('/metrics')).text)?.[1])
    const program = await t.as.app()
    // Transactions of other databases of the server hold the feed back too; once it has caught up, only this one does.
    await eventually(async () => (await lag()) === 0)
    const slow = await t.db.pool.connect()
    onTestFinished(() => slow.release())
    await slow.query('begin')
    await slow.query('select pg_current_xact_id()')
    await program.post('/v1/customers', { name: 'Ada Lind' }).expect(201)
    expect(await lag()).toBe(0)
    t.clock.advance(7000)
    expect(await lag()).toBe(7)
    t.clock.advance(5000)
    expect(await lag()).toBe(12)
    await slow.query('commit')
    await eventually(async () => (await lag()) === 0)
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
