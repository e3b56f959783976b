import { randomUUID } from 'node:crypto'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { from as copyFrom } from 'pg-copy-streams'
import { commitHomes } from '../../src/intake/homes-table/commit-homes.ts'
import { proposeHomesSteps } from '../../src/intake/homes-table/propose-homes.ts'
import { compareHomes, prepareHomes } from '../../src/intake/homes-table/try-homes.ts'
import { finishedInTurns } from '../../src/intake/monitor-file/steps.ts'
import { openSheets } from '../../src/intake/table/open-sheets.ts'
import { type Database, openDatabase } from '../../src/platform/db/client.ts'
import type { Act } from '../../src/platform/db/record-write.ts'
import { withShippedPolicies } from '../../tests/support/laws-in-database.ts'
import { aLog } from '../../tests/support/log.ts'
import { aCompany } from '../../tests/support/rows.ts'
import type { Finding } from '../rig/finding.ts'
import type { Bench } from '../rig/measure.ts'
import { ratioOf, rounds, tookOf } from '../rig/rounds.ts'
import { spreadOf } from '../rig/spread.ts'

const act: Act = { actor: { kind: 'operator', id: null }, now: Date.UTC(2026, 0, 10), requestId: 'bench' }
const header =
  'Owner,Address,City,State,Zip,Phone,Email,Fan,Fan serial,Installed,Start up (in wc),Post (pCi/L),Post date'
const names = ['Foundry', 'Quay', 'Birch', 'Cedar', 'Harbor', 'Juniper', 'Kestrel', 'Larkspur', 'Meadow', 'Orchard']
let table = 0

/** Rows of homes that no table has held before: an owner, a system with its fan, and a result each. */
function rowsOfTable(rows: number): string[] {
  table++
  return Array.from({ length: rows }, (_, i) => {
    const street = `${table}${String(i).padStart(5, '0')} ${names[i % 10]} Street`
    const phone = `218-${String(200 + (i % 700))}-${String((table * 1000 + i) % 10_000).padStart(4, '0')}`
    return `Ann Holm ${i},${street},Duluth,MN,55802,${phone},,Gale 5,F${table}-${i},spring ${2006 + (i % 18)},1.${i % 10},0.${1 + (i % 9)},4/15/${2008 + (i % 17)}`
  })
}

/** A table of homes through the import, standing and all, against COPY of the same rows; and its dry run alone. */
export async function homesTable({ server, full }: Bench): Promise<Finding[]> {
  const rows = full ? 100_000 : 600
  const db = openDatabase({ url: await server.database(), log: aLog('silent').log })
  await aCompany(db.pool)
  await withShippedPolicies(db, act)
  await db.pool.query('create table bare (line text)')
  const took = await rounds(
    {
      ours: async () => {
        const lines = rowsOfTable(rows)
        return tookOf(() => importedAll(db, lines))()
      },
      dryRun: async () => {
        const lines = rowsOfTable(rows)
        return tookOf(() => triedAll(db, lines))()
      },
      copy: async () => {
        const lines = rowsOfTable(rows)
        return tookOf(() => copied(db, lines))()
      },
    },
    full ? 1 : 3,
  )
  await db.close()
  const aRow = spreadOf(took.ours.map(ms => ms / rows)).median
  const what = `${rows} homes from one table, with owner, system and test, read, compared, written, standing and all`
  const against = 'COPY of the same lines into a bare table'
  return [
    { row: 'P06', what, against, figure: ratioOf(took.ours, took.copy), note: `${aRow.toFixed(2)} ms a row` },
    { row: 'P06', what: 'the same, dry run alone', against, figure: ratioOf(took.dryRun, took.copy) },
  ]
}

async function opened(lines: readonly string[]) {
  const file = await openSheets(Buffer.from([header, ...lines].join('\n')))
  if (!file.ok) throw new Error(file.fault.problem)
  const proposed = await finishedInTurns(proposeHomesSteps(file.opened))
  if (!proposed.ok || proposed.open.length > 0) throw new Error('the bench’s table leaves something open')
  return { sheets: file.opened, reading: proposed.reading }
}

async function triedAll(db: Database, lines: readonly string[]) {
  const { sheets, reading } = await opened(lines)
  return compareHomes(db, act, await prepareHomes(db, act, sheets, reading), reading)
}

async function importedAll(db: Database, lines: readonly string[]): Promise<void> {
  const { sheets, reading } = await opened(lines)
  const prepared = await prepareHomes(db, act, sheets, reading)
  await compareHomes(db, act, prepared, reading)
  await db.transaction(tx => commitHomes(tx, act, randomUUID(), prepared, reading, async () => {}))
}

async function copied(db: Database, lines: readonly string[]): Promise<void> {
  const client = await db.pool.connect()
  try {
    await pipeline(Readable.from(lines.map(line => `${line}\n`)), client.query(copyFrom('copy bare from stdin')))
  } finally {
    client.release()
  }
}
