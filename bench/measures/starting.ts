import { readFileSync } from 'node:fs'
import { startApp } from '../../tests/support/app-process.ts'
import { startPostgres } from '../../tests/support/postgres.ts'
import { testSecrets } from '../../tests/support/test-config.ts'
import type { Finding } from '../rig/finding.ts'
import { manyHomes } from '../rig/many-homes.ts'
import type { Bench } from '../rig/measure.ts'
import { open, settled } from '../rig/open.ts'
import { ratioOf, rounds, tookOf } from '../rig/rounds.ts'
import { spreadOf } from '../rig/spread.ts'

const env = {
  NODE_ENV: 'test',
  ...testSecrets,
  PUBLIC_URL: 'http://127.0.0.1:8080',
  MAIL_FROM: 'office@clearwell.example',
}

/** From the start of the built program to its readiness, the database being there, and what it then holds in memory. */
export async function starting({ server, full }: Bench): Promise<Finding[]> {
  const empty = await databaseOf(server, 0)
  const filled = await databaseOf(server, full ? 100_000 : 5_000)
  const postgres = await startPostgres('start', { durable: true })
  const resident: number[] = []
  const start = (databaseUrl: string) => async () => {
    const begun = performance.now()
    const app = await startApp({ databaseUrl, env })
    await app.ready()
    const took = performance.now() - begun
    resident.push(residentMb(app.pid))
    await app.stop()
    return took
  }
  const took = await rounds(
    {
      empty: start(empty),
      filled: start(filled),
      postgres: async () => {
        await postgres.stop()
        return tookOf(() => postgres.start())()
      },
    },
    5,
  )
  await postgres.dispose()
  return [
    {
      row: 'P18',
      what: 'start to ready',
      against: '–',
      figure: spreadOf(took.filled),
      unit: 'ms',
      aim: { atMost: 3000 },
    },
    {
      row: 'P18',
      what: 'resident memory when ready',
      against: '–',
      figure: spreadOf(resident),
      unit: 'MB',
      aim: { atMost: 200 },
    },
    {
      row: 'P18',
      what: 'start to ready',
      against: 'start of PostgreSQL alone',
      figure: ratioOf(took.filled, took.postgres),
      aim: { atMost: 3 },
      note: `PostgreSQL ${spreadOf(took.postgres).median.toFixed(0)} ms`,
    },
    {
      row: 'P18',
      what: 'start on a full database',
      against: 'on an empty one',
      figure: ratioOf(took.filled, took.empty),
      aim: { atMost: 1.2 },
    },
  ]
}

async function databaseOf(server: Bench['server'], homes: number): Promise<string> {
  const url = await server.database()
  const db = open(url, 1)
  await settled(db)
  await db.close()
  if (homes > 0) await manyHomes(url, homes)
  return url
}

/** Megabytes of RAM that a process holds, as Linux tells; NaN elsewhere. */
function residentMb(pid: number): number {
  if (process.platform !== 'linux') return Number.NaN
  const [kilobytes] = /(?<=VmRSS:\s*)\d+/.exec(readFileSync(`/proc/${pid}/status`, 'utf8')) ?? ['NaN']
  return Number(kilobytes) / 1000
}
