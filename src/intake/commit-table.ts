import { addTestLocation } from '../features/properties/change-parts.ts'
import { createProperty } from '../features/properties/create-property.ts'
import { settleAddress } from '../features/properties/settle-address.ts'
import { recordTest, type TestToRecord } from '../features/tests/record-test.ts'
import type { Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import { problem } from '../platform/http/problem.ts'
import { type FoundHome, keyOfHome } from './home-queries.ts'
import { lockTableImports } from './import-queries.ts'
import type { ImportSummary } from './import-rows.ts'
import type { ResultRow } from './results-table/read-result-row.ts'
import type { ReadTable } from './results-table/read-table.ts'
import type { TableReading } from './results-table/table-reading.ts'
import { compareTable, type HomeRows, instantOfMoment, type TableDryRun } from './try-table.ts'

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

function refuseBadRows(dryRun: TableDryRun): void {
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

/** Writes every new row as a test of its home, homes that are new with it. One transaction: all or nothing. */
export async function commitTable(
  tx: Tx,
  act: Act,
  importId: string,
  table: { readonly read: ReadTable; readonly settled: SettledHomes; readonly reading: TableReading },
): Promise<ImportSummary> {
  await lockTableImports(tx)
  const dryRun = await compareTable(tx, act, table.read, table.reading)
  refuseBadRows(dryRun)
  const homesTakenUp: string[] = []
  for (const group of dryRun.homes) {
    const home = group.home ?? (await takenUp(tx, act, table.settled, group))
    if (!group.home) homesTakenUp.push(home.id)
    const locations = [...home.locations]
    for (const row of group.rows) {
      const locationId = await locationFor(tx, act, home.id, locations, row)
      await recordTest(tx, act, home.id, testOf(row, home.zone, locationId, importId, table.reading))
    }
  }
  return { made: dryRun.fresh, same: dryRun.same, homesTakenUp }
}

async function takenUp(tx: Tx, act: Act, settled: SettledHomes, { wanted, rows }: HomeRows): Promise<FoundHome> {
  const columns = settled.get(keyOfHome(wanted))
  if (!columns) throw problem(409, 'home-gone', 'A home of this table has gone since it was looked at; look again.')
  const places = new Map(rows.filter(hasPlace).map(row => [`${nameOfPlace(row)} ${row.floor}`, row]))
  const testLocations = [...places.values()].map(row => ({ name: nameOfPlace(row), floor: row.floor ?? 0 }))
  const { id, testLocations: kept } = await createProperty(tx, act, columns, {
    foundationAreas: [],
    testLocations,
    ownerId: null,
    ownerSince: null,
  })
  return { id, zone: columns.zone, locations: kept }
}

const hasPlace = (row: ResultRow): boolean => row.location !== '' || row.floor !== null
const FLOORS: Readonly<Record<number, string>> = { [-1]: 'Basement', 0: 'Ground floor', 1: 'First floor up' }
const nameOfPlace = (row: ResultRow): string => row.location || FLOORS[row.floor ?? 0] || `Floor ${row.floor}`

/** The test location a row names: by name and floor, added where the home has none such; null where it names none. */
async function locationFor(
  tx: Tx,
  act: Act,
  homeId: string,
  known: { id: string; name: string; floor: number }[],
  row: ResultRow,
): Promise<string | null> {
  if (!hasPlace(row)) return null
  const name = nameOfPlace(row)
  const same = known.find(
    place => place.name.toLowerCase() === name.toLowerCase() && (row.floor === null || place.floor === row.floor),
  )
  if (same) return same.id
  const added = await addTestLocation(tx, act, homeId, { name, floor: row.floor ?? 0 })
  known.push(added)
  return added.id
}

function testOf(
  row: ResultRow,
  zone: string,
  locationId: string | null,
  importBatchId: string,
  { constants }: TableReading,
): TestToRecord {
  const [startAt, stopAt] = [instantOfMoment(row.start, zone), instantOfMoment(row.stop, zone)]
  const { purpose, method, value, unit, qualifier, uncertainty, kitNumber, laboratory } = row
  return {
    ...{ purpose, method, laboratory, importBatchId },
    source: constants.source,
    setAt: startAt,
    pickedUpAt: stopAt,
    resultInAt: stopAt,
    exposures: [
      { role: 'measurement', locationId, kitNumber, startAt, stopAt, result: { value, unit, qualifier, uncertainty } },
    ],
  }
}
