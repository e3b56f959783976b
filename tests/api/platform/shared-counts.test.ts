import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openDatabase } from '../../../src/platform/db/client.ts'
import { forgetCounts, sharedCounts } from '../../../src/platform/http/shared-counts.ts'
import { anOpenDatabase } from '../../support/database.ts'
import { eventually } from '../../support/eventually.ts'
import { aLog } from '../../support/log.ts'
import { seeded } from '../../support/scale.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

// B12: requests are counted over all processes of one database.

type Opened = Awaited<ReturnType<typeof anOpenDatabase>>
let opened: Opened
beforeAll(async () => {
  opened = await anOpenDatabase()
  await Promise.all([1, 2].map(() => opened.db.pool.query('select 1')))
})
afterAll(() => opened.close())

const limit = 600
const minute = 60_000
type Ask = (key: string, max?: number, windowMs?: number) => Promise<boolean>

/** What one process knows: asks whether one more request is let through. */
function aProcess(db: Opened['db'] = opened.db): Ask {
  const store = new (sharedCounts(db, aLog('silent').log))({})
  return (key, max = limit, windowMs = minute) =>
    new Promise((resolve, reject) =>
      store.incr(key, (error, counted) => (error ? reject(error) : resolve(counted!.current <= max)), windowMs, max),
    )
}

async function untilRefused(ask: () => Promise<boolean>): Promise<number> {
  let through = 0
  while (await ask()) through += 1
  return through
}

describe('two processes', () => {
  it('let through the limit together, however their requests are mixed', async () => {
    for (const seed of [1, 2, 3, 4]) {
      const [random, key] = [seeded(seed), `mixed-${seed}`]
      const [one, other] = [aProcess(), aProcess()]
      const favour = random()
      const calls = Array.from({ length: 2 * limit }, () => (random() < favour ? one : other))
      const answers = await Promise.all(calls.map(ask => ask(key)))
      const rest = (await untilRefused(() => one(key))) + (await untilRefused(() => other(key)))
      expect(answers.filter(Boolean).length + rest).toBe(limit)
    }
  })

  it('leave at most nineteen unused, when one falls quiet after it took its share', async () => {
    for (const early of [1, 7, 137, 580]) {
      const key = `quiet-${early}`
      const [quiet, busy] = [aProcess(), aProcess()]
      for (let n = 0; n < early; n++) expect(await quiet(key)).toBe(true)
      const through = early + (await untilRefused(() => busy(key)))
      expect(through).toBeGreaterThanOrEqual(limit - 19)
      expect(through + (await untilRefused(() => quiet(key)))).toBe(limit)
    }
  })

  it('begin anew together when the window is over, and what is over is forgotten', async () => {
    const [one, other] = [aProcess(), aProcess()]
    await untilRefused(() => one('short', 5, 500))
    expect(await other('short', 5, 500)).toBe(false)
    expect(await eventually(() => other('short', 5, 500))).toBe(true)
    await eventually(async () => {
      await forgetCounts(opened.db)
      return (await opened.db.pool.query(`select 1 from rate_count where key = 'short'`)).rowCount === 0
    })
  })

  it('count alone while the database is away', async () => {
    const away = openDatabase({ url: 'postgresql://nobody@127.0.0.1:1/none', log: aLog('silent').log })
    const [one, other] = [aProcess(away), aProcess(away)]
    expect(await untilRefused(() => one('alone'))).toBe(limit)
    expect(await untilRefused(() => other('alone'))).toBe(limit)
    await away.close()
  })
})

describe('two services on one database', () => {
  let [first, second]: TestApp[] = []
  beforeAll(async () => {
    first = await buildTestApp()
    second = await buildTestApp({ databaseUrl: first.databaseUrl, env: { PUBLIC_URL: first.url } })
  })
  afterAll(async () => {
    await second!.close()
    await first!.close()
  })

  it('refuse a client at sixty tokens a minute, whichever it asks', async () => {
    const { clientId, secret } = await first!.as.app()
    const authorization = `Basic ${Buffer.from(`${clientId}:${secret}`).toString('base64')}`
    const statuses: number[] = []
    for (let n = 0; n < 64; n++) {
      const { app } = n % 2 ? first! : second!
      const form = { method: 'POST', url: '/oauth/token', payload: 'grant_type=client_credentials' } as const
      const headers = { authorization, 'content-type': 'application/x-www-form-urlencoded' }
      statuses.push((await app.inject({ ...form, headers })).statusCode)
    }
    // One token was fetched before.
    expect(statuses.filter(status => status === 200)).toHaveLength(59)
    expect(statuses.filter(status => status === 429)).toHaveLength(5)
  })
})
