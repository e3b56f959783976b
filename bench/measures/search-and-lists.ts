import { listHomes, listProperties } from '../../src/features/properties/list-queries.ts'
import { searchHomes } from '../../src/features/search/search-homes.ts'
import { listSystems } from '../../src/features/systems/queries.ts'
import type { Database } from '../../src/platform/db/client.ts'
import type { Finding } from '../rig/finding.ts'
import { manyHomes } from '../rig/many-homes.ts'
import type { Bench } from '../rig/measure.ts'
import { act, open, settled } from '../rig/open.ts'
import { type Measured, ratioOf, rounds } from '../rig/rounds.ts'
import { spreadOf } from '../rig/spread.ts'

const times = 60
/** The p95 of so many calls, in milliseconds. */
const p95 =
  (work: (i: number) => Promise<unknown>): Measured =>
  async () => {
    const took: number[] = []
    for (let i = 0; i < times; i++) {
      const begun = performance.now()
      await work(i)
      took.push(performance.now() - begun)
    }
    return took.sort((a, b) => a - b)[Math.floor(times * 0.95)]!
  }

const asked = ['412 alder', 'berg', 'S731', 'T-402', '5550318', 'p77@home', 'annb oaks', '88 birhc street']

const views = (db: Database, deep: readonly [due: string, id: string], old: string) => ({
  'list of systems': p95(() => listSystems(db, act, { limit: 50 })),
  'list of systems, deep': p95(() => listSystems(db, act, { limit: 50, before: old })),
  'list of properties': p95(() => listProperties(db, act, { limit: 50, before: null })),
  'overview of homes by due day': p95(() => listHomes(db, act, { limit: 50, after: null })),
  'overview of homes, deep': p95(() => listHomes(db, act, { limit: 50, after: deep })),
  search: p95(i => searchHomes(db, act, asked[i % asked.length]!, 20, () => true)),
})
type View = keyof ReturnType<typeof views>

async function opened(bench: Bench, homes: number) {
  const url = await bench.server.database()
  const db = open(url, 2)
  await settled(db)
  await manyHomes(url, homes)
  const late = 'order by next_due_on, property_id offset $1 limit 1'
  const [home] = (
    await db.pool.query(`select next_due_on as due, property_id as id from standing ${late}`, [homes * 0.9])
  ).rows
  const [system] = (
    await db.pool.query('select id from system order by id offset $1 limit 1', [Math.floor(homes / 10)])
  ).rows
  return { db, measured: views(db, [home.due, home.id], system.id) }
}

/** Lists and the search box at 1,000 homes and at a hundred or a thousand times as many. */
export async function lists(bench: Bench): Promise<Finding[]> {
  const sizes = bench.full ? [100_000, 1_000_000] : [20_000]
  const small = await opened(bench, 1_000)
  const findings: Finding[] = []
  for (const size of sizes) {
    const big = await opened(bench, size)
    for (const view of Object.keys(small.measured) as View[]) {
      const took = await rounds({ small: small.measured[view], big: big.measured[view] })
      const aim = view === 'search' && size > 100_000 ? { atMost: 25 } : { atMost: size > 100_000 ? 2 : 1.5 }
      findings.push({
        row: view === 'search' ? 'P05' : 'P04',
        what: `${view}, p95 at ${size.toLocaleString('en')} homes`,
        against: 'at 1,000',
        figure: ratioOf(took.big, took.small),
        aim,
        note: `${spreadOf(took.small).median.toFixed(2)} → ${spreadOf(took.big).median.toFixed(2)} ms`,
      })
    }
    await big.db.close()
  }
  await small.db.close()
  return findings
}
