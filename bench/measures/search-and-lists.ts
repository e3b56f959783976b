import { changesAfter } from '../../src/features/changes/queries.ts'
import { listHomes, listProperties } from '../../src/features/properties/list-queries.ts'
import { searchHomes } from '../../src/features/search/search-homes.ts'
import { listSystems } from '../../src/features/systems/queries.ts'
import type { Database } from '../../src/platform/db/client.ts'
import type { Finding } from '../rig/finding.ts'
import { manyHomes } from '../rig/many-homes.ts'
import type { Bench } from '../rig/measure.ts'
import { act, now, open, settled } from '../rig/open.ts'
import { type Measured, p95, ratioOf, rounds } from '../rig/rounds.ts'
import { spreadOf } from '../rig/spread.ts'

const asked = ['412 alder', 'berg', 'S731', 'T-402', '5550318', 'p77@home', 'annb oaks', '88 birhc street']
const app = {
  kind: 'app',
  id: '0198e2a0-0000-7000-8000-000000000000',
  name: '',
  scopes: ['systems:read'],
  allHomes: true,
} as const

/** What is read at each size; of a list its first page and one at its end. */
type Views = { readonly [list: string]: { readonly first: Measured; readonly last: Measured } }

async function listsOf(db: Database, homes: number): Promise<Views> {
  const one = async (text: string, offset: number) =>
    (await db.pool.query(`${text} offset $1 limit 1`, [offset])).rows[0]
  const end = Math.max(0, homes - 60)
  const due = await one(
    'select next_due_on as due, property_id as id from standing order by next_due_on, property_id',
    end,
  )
  const system = await one('select id from system order by id desc', end)
  const property = await one('select id from property order by id desc', end)
  const change = await one('select xid::text, seq::text from change order by xid, seq', end)
  const systems = (before?: string) => p95(() => listSystems(db, act, { limit: 50, ...(before && { before }) }))
  const properties = (before: string | null) => p95(() => listProperties(db, act, { limit: 50, before }))
  const overview = (after: readonly [string, string] | null) => p95(() => listHomes(db, act, { limit: 50, after }))
  const feed = (from: { xid: string; seq: string }) => p95(() => changesAfter(db, app, now, from, 50))
  return {
    'list of systems': { first: systems(), last: systems(system.id) },
    'list of properties': { first: properties(null), last: properties(property.id) },
    'overview of homes by due day': { first: overview(null), last: overview([due.due, due.id]) },
    'change feed': { first: feed({ xid: '0', seq: '0' }), last: feed(change) },
  }
}

async function opened({ server }: Bench, homes: number) {
  const url = await server.database()
  const db = open(url, 2)
  await settled(db)
  await manyHomes(url, homes)
  await db.pool.query(
    `insert into change (xid, at, kind, noun, noun_id, property_id, version)
     select '3'::xid8, created_at, 'create', 'system', id, property_id, 1 from system order by id`,
  )
  await db.pool.query('vacuum analyze change')
  const search = p95(i => searchHomes(db, act, asked[i % asked.length]!, 20, () => true))
  return { db, lists: await listsOf(db, homes), search }
}

const size = (homes: number) => homes.toLocaleString('en')
const ms = (took: readonly number[]) => spreadOf(took).median.toFixed(2)

/** Lists, the change feed and the search box at 1,000 homes and at a hundred or a thousand times as many. */
export async function lists(bench: Bench): Promise<Finding[]> {
  const small = await opened(bench, 1_000)
  const findings: Finding[] = []
  for (const homes of bench.full ? [100_000, 1_000_000] : [20_000]) {
    const big = await opened(bench, homes)
    for (const [list, { first, last }] of Object.entries(big.lists)) {
      const took = await rounds({ small: small.lists[list]!.first, first, last })
      findings.push(
        {
          row: 'P04',
          what: `${list}, first page, p95 at ${size(homes)} homes`,
          against: 'at 1,000',
          figure: ratioOf(took.first, took.small),
          aim: { atMost: homes > 100_000 ? 2 : 1.5 },
          note: `${ms(took.small)} → ${ms(took.first)} ms`,
        },
        {
          row: 'P04',
          what: `${list}, last page, p95 at ${size(homes)} homes`,
          against: 'its first page',
          figure: ratioOf(took.last, took.first),
          aim: { atMost: 1.2 },
          note: `${ms(took.last)} ms`,
        },
      )
    }
    const took = await rounds({ small: small.search, big: big.search })
    findings.push(
      {
        row: 'P05',
        what: `search, p95 at ${size(homes)} homes`,
        against: 'at 1,000',
        figure: ratioOf(took.big, took.small),
        aim: { atMost: homes > 100_000 ? 25 : 1.5 },
        note: `${ms(took.small)} → ${ms(took.big)} ms`,
      },
      {
        row: 'P05',
        what: `search, p95 at ${size(homes)} homes`,
        against: '–',
        figure: spreadOf(took.big),
        unit: 'ms',
        aim: { atMost: 50 },
      },
    )
    await big.db.close()
  }
  await small.db.close()
  return findings
}
