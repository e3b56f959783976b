import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { from as copyFrom } from 'pg-copy-streams'
import { PLAIN_DIALECT, writeMonitorFile } from '../../seed/monitor-files.ts'
import type { SeriesFacts } from '../../src/domain/facts.ts'
import { commitRecordBody } from '../../src/intake/record-schemas.ts'
import { keepStarted, prepareImport } from '../../src/intake/start-import.ts'
import { jobs } from '../../src/jobs.ts'
import { type Database, openDatabase } from '../../src/platform/db/client.ts'
import type { Act } from '../../src/platform/db/record-write.ts'
import { jobsFor } from '../../src/platform/jobs/queue.ts'
import { withShippedPolicies } from '../../tests/support/laws-in-database.ts'
import { aLog } from '../../tests/support/log.ts'
import { aCompany, aPropertyRow } from '../../tests/support/rows.ts'
import { hourly } from '../../tests/support/test-facts.ts'
import type { Finding } from '../rig/finding.ts'
import type { Bench } from '../rig/measure.ts'
import { ratioOf, rounds, tookOf } from '../rig/rounds.ts'
import { spreadOf } from '../rig/spread.ts'

const act: Act = { actor: { kind: 'operator', id: null }, now: Date.UTC(2026, 0, 10), requestId: 'bench' }
const zone = 'America/Chicago'
let serial = 0

/** A 48-hour record that no file has held before. */
const record = (): SeriesFacts => {
  serial++
  return hourly(48, i => 10_000 + ((serial * 7 + i * 13) % 9_000), {
    scale: 3,
    startAt: Date.UTC(2025, 10, 3, 16) + serial * 60_000,
  })
}

/** 1,000 monitor files of 48 h through the import, standing and all, against COPY of the same readings. */
export async function importing({ server, full }: Bench): Promise<Finding[]> {
  const files = full ? 1000 : 200
  const db = openDatabase({ url: await server.database(), log: aLog('silent').log })
  await aCompany(db.pool)
  await withShippedPolicies(db, act)
  await db.pool.query('create table bare (file int, at timestamptz, value int)')
  const homes: string[] = []
  for (let i = 0; i < files; i++)
    homes.push((await aPropertyRow(db.pool, { zone, jurisdiction: 'US-MN', street: `${i} Bench Lane` })).id)
  const took = await rounds(
    {
      ours: async () => {
        const bytes = homes.map(() => Buffer.from(writeMonitorFile(record(), { ...PLAIN_DIALECT, clock: { zone } })))
        return tookOf(async () => {
          for (const [i, propertyId] of homes.entries()) await importOne(db, propertyId, bytes[i]!)
        })()
      },
      each: tookOf(async () => {
        for (let i = 0; i < files; i++) await copied(db, [record()])
      }),
      whole: tookOf(() => copied(db, Array.from({ length: files }, record))),
      commits: tookOf(async () => {
        for (let i = 0; i < files; i++)
          await db.transaction(tx => tx.raw.query('insert into bare values (0, now(), 0)'))
      }),
    },
    full ? 3 : 2,
  )
  await db.close()
  const perFile = spreadOf(took.ours.map(ms => ms / files))
  const what = `${files} monitor files of 48 h, read, judged, standing and all`
  return [
    {
      row: 'P11',
      what,
      against: 'COPY, a transaction a file',
      figure: ratioOf(took.ours, took.each),
      aim: { atMost: 3 },
      note: `${perFile.median.toFixed(1)} ms a file`,
    },
    { row: 'P11', what, against: 'one COPY of all readings', figure: ratioOf(took.ours, took.whole) },
    {
      row: 'P11',
      what: 'COPY, a transaction a file',
      against: 'one row and its commit: the floor of a transaction a file',
      figure: ratioOf(took.each, took.commits),
    },
  ]
}

async function importOne(db: Database, propertyId: string, bytes: Buffer): Promise<void> {
  const input = {
    file: { fileName: 'monitor.csv', type: 'text/csv', bytes },
    kind: 'monitor-record',
    propertyId,
  } as const
  const commit = commitRecordBody.parse({ target: { propertyId, purpose: 'pre-mitigation', exposure: {} } })
  const started = await prepareImport(db, act, { ...input, commit })
  await db.transaction(tx => keepStarted(tx, act, jobsFor(jobs), started))
}

async function copied(db: Database, records: readonly SeriesFacts[]): Promise<void> {
  const client = await db.pool.connect()
  try {
    const lines = records.flatMap((series, file) =>
      series.values.map((value, i) => `${file}\t${new Date(series.startAt + i * 3_600_000).toISOString()}\t${value}\n`),
    )
    await pipeline(Readable.from(lines), client.query(copyFrom('copy bare from stdin')))
  } finally {
    client.release()
  }
}
