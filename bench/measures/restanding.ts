import { loadHomes } from '../../src/standing/load-facts.ts'
import { restandHomes } from '../../src/standing/restand.ts'
import { restandDue } from '../../src/standing/restand-stale.ts'
import type { Finding } from '../rig/finding.ts'
import { manyHomes } from '../rig/many-homes.ts'
import type { Bench } from '../rig/measure.ts'
import { act, now, open, settled } from '../rig/open.ts'
import { ratioOf, rounds, tookOf } from '../rig/rounds.ts'
import { spreadOf } from '../rig/spread.ts'

const batch = 200

/** Standing many homes anew, each evaluation kept, against reading the same facts into this process. */
export async function restanding({ server, full }: Bench): Promise<Finding[]> {
  const homes = full ? 100_000 : 2_000
  const url = await server.database()
  const db = open(url, 2)
  await settled(db)
  await manyHomes(url, homes, { stood: false })
  const ids = (await db.pool.query<{ id: string }>('select id from property order by id')).rows.map(({ id }) => id)
  const batches = Array.from({ length: Math.ceil(homes / batch) }, (_, i) => ids.slice(i * batch, (i + 1) * batch))
  for (const some of batches) await db.transaction(tx => restandHomes(tx, act, some))
  await db.pool.query('vacuum analyze')
  const marked = (columns: string, work: () => Promise<unknown>) => async () => {
    await db.pool.query(`update standing set stale_since = $1, ${columns}`, [new Date(now)])
    await db.pool.query('vacuum standing')
    return tookOf(work)()
  }
  const before = process.memoryUsage().rss
  const took = await rounds(
    {
      changed: marked('engine_version = 0', () => restandDue(db, now)),
      same: marked('version = version', () => restandDue(db, now)),
      read: tookOf(async () => {
        for (const some of batches) await loadHomes(db, some)
      }),
    },
    full ? 3 : 5,
  )
  await db.close()
  const rate = (ms: readonly number[]) => `${spreadOf(ms.map(one => (homes * 1000) / one)).median.toFixed(0)} homes/s`
  const grown = (process.memoryUsage().rss - before) / 1e6
  const against = 'reading their facts'
  const what = `standing ${homes.toLocaleString('en')} homes anew`
  return [
    {
      row: 'P08',
      what: `${what}, all changed`,
      against,
      figure: ratioOf(took.changed, took.read),
      aim: { atMost: 2.5 },
      note: `${rate(took.changed)}, ${grown.toFixed(0)} MB more resident`,
    },
    {
      row: 'P08',
      what: `${what}, none changed`,
      against,
      figure: ratioOf(took.same, took.read),
      note: rate(took.same),
    },
  ]
}
