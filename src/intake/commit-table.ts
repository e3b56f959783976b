import { lockKits } from '../features/devices/kit-queries.ts'
import { writeHomes } from '../features/properties/create-property.ts'
import { settleAddress } from '../features/properties/settle-address.ts'
import { type TestOfHome, type TestToRecord, writeTests } from '../features/tests/record-test.ts'
import type { Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import { problem } from '../platform/http/problem.ts'
import { holdHomes, restandHomes } from '../standing/restand.ts'
import { keyOfHome } from './home-queries.ts'
import { lockTableImports } from './import-queries.ts'
import type { ImportSummary } from './import-rows.ts'
import { placeOf, placesMissing, type RowsOfHome, withPlaces } from './places-of-rows.ts'
import type { ResultRow } from './results-table/read-result-row.ts'
import type { ReadTable } from './results-table/read-table.ts'
import type { TableReading } from './results-table/table-reading.ts'
import { noonOf, type PlacedRow } from './rows-by-kit.ts'
import { compareTable, type HomeRows, periodOf, type TableDryRun } from './try-table.ts'

type PropertyColumns = Awaited<ReturnType<typeof settleAddress>>
/** The addresses of homes to be taken up, located before the transaction, by the key of the home. */
export type SettledHomes = ReadonlyMap<string, PropertyColumns>

/** Refuses a table with bad rows, each by line; then finds zone and jurisdiction of every home that is new. */
export async function settleTable(dryRun: TableDryRun, reading: TableReading): Promise<SettledHomes> {
  refuseBadRows(dryRun)
  const settled = new Map<string, PropertyColumns>()
  for (const { home, wanted } of dryRun.homes)
    if (!home) settled.set(keyOfHome(wanted), await settleAddress(newHome(wanted, reading)))
  return settled
}

/** Throws one 422 that lists every bad row by line. */
export function refuseBadRows(dryRun: Pick<TableDryRun, 'bad' | 'faults'>): void {
  if (dryRun.bad > 0)
    throw problem(
      422,
      'bad-rows',
      `${dryRun.bad} rows cannot be read; nothing was saved.`,
      dryRun.faults.slice(0, 100).map(({ line, column, value, problem: what, remedy }) => ({
        pointer: `/rows/${line}`,
        code: 'bad-row',
        detail: `Line ${line}, ${column}: “${value}” ${what}. ${remedy}`,
      })),
    )
}

const newHome = ({ street, unit, city, region, postcode }: ResultRow['home'], { constants }: TableReading) => ({
  ...{ street, unit, city, region, postcode },
  country: constants.country,
  zone: constants.zone ?? undefined,
  foundationAreas: [],
  testLocations: [],
})

// So many homes are written and stood by one round of statements: enough to be quick, few enough for one statement.
const homesAtOnce = 200

type Table = { readonly read: ReadTable; readonly settled: SettledHomes; readonly reading: TableReading }

/** Writes every new row as a test of its home, homes that are new with it. One transaction: all or nothing. */
export async function commitTable(tx: Tx, act: Act, importId: string, table: Table): Promise<ImportSummary> {
  await lockTableImports(tx)
  const dryRun = await comparedAndHeld(tx, act, table)
  refuseBadRows(dryRun)
  await holdHomes(
    tx,
    dryRun.homes.flatMap(({ home }) => home?.id ?? []),
  )
  const homesTakenUp: string[] = []
  for (let from = 0; from < dryRun.homes.length; from += homesAtOnce) {
    const groups = dryRun.homes.slice(from, from + homesAtOnce)
    const taken = await takeUp(
      tx,
      act,
      table.settled,
      groups.filter(({ home }) => !home),
    )
    homesTakenUp.push(...taken.map(({ home }) => home.id))
    const onRecord = groups.flatMap(({ home, rows }) => (home ? [{ home, rows }] : []))
    const homes = [...(await withPlaces(tx, act, onRecord)), ...taken]
    await writeTests(
      tx,
      act,
      homes.flatMap(one => testsOf(one, { importId, now: act.now, constants: table.reading.constants })),
    )
    await restandHomes(
      tx,
      act,
      homes.map(({ home }) => home.id),
    )
  }
  return { made: dryRun.fresh, same: dryRun.same, homesTakenUp }
}

/** Of two answers for one kit at once the second finds the first: it looks again once it holds the kits. */
async function comparedAndHeld(tx: Tx, act: Act, { read, reading }: Table): Promise<TableDryRun> {
  const dryRun = await compareTable(tx, act, read, reading)
  const kits = dryRun.homes.flatMap(({ rows }) => rows.flatMap(row => row.kit?.id ?? []))
  if (kits.length === 0) return dryRun
  await lockKits(tx, act, kits)
  return compareTable(tx, act, read, reading)
}

async function takeUp(tx: Tx, act: Act, settled: SettledHomes, groups: readonly HomeRows[]): Promise<RowsOfHome[]> {
  if (groups.length === 0) return []
  const columns = groups.map(({ wanted }) => {
    const found = settled.get(keyOfHome(wanted))
    if (!found) throw problem(409, 'home-gone', 'A home of this table has gone since it was looked at; look again.')
    return found
  })
  const made = await writeHomes(
    tx,
    act,
    groups.map(({ rows }, i) => ({
      settled: columns[i]!,
      foundationAreas: [],
      testLocations: placesMissing([], rows),
    })),
  )
  return groups.map(({ rows }, i) => ({ home: { ...made[i]!, zone: columns[i]!.zone }, rows }))
}

type Saved = { readonly importId: string; readonly now: number; readonly constants: TableReading['constants'] }

const testsOf = ({ home, rows }: RowsOfHome, saved: Saved): TestOfHome[] =>
  rows.map(row => {
    const test = testOf(row, home.zone, placeOf(row, home.locations)?.id ?? null, saved)
    return { propertyId: home.id, test, pointer: `/rows/${row.line}` }
  })

function testOf(row: PlacedRow, zone: string, locationId: string | null, saved: Saved): TestToRecord {
  const { now, constants, importId: importBatchId } = saved
  const { startAt, stopAt } = periodOf(row, zone, now)
  const { kit, purpose, method, value, unit, qualifier, uncertainty, kitNumber, laboratory } = row
  return {
    ...{ purpose, method, laboratory, importBatchId, importLine: row.line },
    source: kit ? 'own' : constants.source,
    setAt: startAt,
    pickedUpAt: stopAt,
    sentToLabAt: kit && noonOf(kit.postedOn, zone, now),
    // When the answer to a kit came is not told; other tables bring results of long ago.
    resultInAt: kit ? now : stopAt,
    exposures: [
      {
        ...{ role: 'measurement', kitNumber, startAt, stopAt, deviceId: kit?.deviceId ?? null },
        locationId: locationId ?? kit?.locationId ?? null,
        result: { value, unit, qualifier, uncertainty },
      },
    ],
  }
}
