import { homesOfCall } from '../../src/features/search/homes-of-call.ts'
import { type Database, sql } from '../../src/platform/db/client.ts'
import type { Finding } from '../rig/finding.ts'
import { manyHomes } from '../rig/many-homes.ts'
import type { Bench } from '../rig/measure.ts'
import { act, open, settled } from '../rig/open.ts'
import { p95, ratioOf, rounds } from '../rig/rounds.ts'
import { spreadOf } from '../rig/spread.ts'

const shown = 'select p.id, p.street, p.city, s.shown from search_phrase s join property p on p.id = s.property_id'
const byCode = sql(
  'bench-phone-code',
  `${shown} where s.kind in ('postcode', 'email', 'phone', 'tag', 'serial', 'device', 'kit') and s.phrase like '%' || $1 || '%' limit 21`,
)
const byWords = sql(
  'bench-phone-words',
  `${shown} where s.property_id = any(array(select h.property_id from search_home h where h.words @> $1::text[] limit 21))`,
)

/** What a caller says, and what an index answers with homes once somebody has read it: a piece of a code, or whole words. */
const said = [
  ['412 Elm', byWords, ['412', 'elm']],
  ['(218) 555-0318', byCode, '2185550318'],
  ['Annb Oakesba', byWords, ['oakesba']],
  ['T-402', byCode, 't402'],
  ['85 birhc street', byWords, ['85', 'birch', 'street']],
  ['p77@home', byCode, 'p77home'],
  ['9 Juniper Street, Duluth', byWords, ['9', 'juniper', 'street', 'duluth']],
  ['Marsh', byWords, ['marshaa']],
] as const

async function inTown({ server }: Bench, homes: number): Promise<Database> {
  const url = await server.database()
  const db = open(url, 2)
  await settled(db)
  await manyHomes(url, homes, { people: true })
  return db
}

const call = (db: Database) => (i: number) =>
  homesOfCall(db, act, said[i % said.length]![0], { country: 'US', contacts: true })
const bareCall = (db: Database) => (i: number) => {
  const [, statement, asked] = said[i % said.length]!
  return db.rows(statement, [asked])
}

const middle = (times: readonly number[]) => times.toSorted((a, b) => a - b)[Math.floor(times.length / 2)]!
/** The p50 of so many calls one after another, in milliseconds. */
const p50 = (work: (i: number) => Promise<unknown>) => async () => {
  const took: number[] = []
  for (let i = 0; i < 60; i++) {
    const begun = performance.now()
    await work(i)
    took.push(performance.now() - begun)
  }
  return middle(took)
}

/** The screen for a call, from a fragment to the homes that it may mean, beside one bare statement on an index of the same tables. */
export async function phone(bench: Bench): Promise<Finding[]> {
  const findings: Finding[] = []
  for (const homes of bench.full ? [100_000, 1_000_000] : [20_000]) {
    const db = await inTown(bench, homes)
    const took = await rounds({
      p50: p50(call(db)),
      p95: p95(call(db)),
      bareP50: p50(bareCall(db)),
      bareP95: p95(bareCall(db)),
    })
    const size = `${homes.toLocaleString('en')} addresses and as many people`
    for (const [name, ours, peer] of [
      ['p50', took.p50, took.bareP50],
      ['p95', took.p95, took.bareP95],
    ] as const)
      findings.push(
        {
          row: 'P05',
          what: `phone, ${name} at ${size}`,
          against: `bare indexed statement, ${name}`,
          figure: ratioOf(ours, peer),
          aim: { atMost: 5 },
          note: `${spreadOf(peer).median.toFixed(2)} → ${spreadOf(ours).median.toFixed(2)} ms`,
        },
        { row: 'P05', what: `phone, ${name}`, against: '–', figure: spreadOf(ours), unit: 'ms', aim: { atMost: 50 } },
      )
    await db.close()
  }
  return findings
}
