import { writeTestLocations } from '../features/properties/change-parts.ts'
import type { Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import type { FoundHome } from './home-queries.ts'
import type { ResultRow } from './results-table/read-result-row.ts'
import type { PlacedRow } from './rows-by-kit.ts'

/** A home that is on record by now, and its rows. */
export type RowsOfHome = { readonly home: FoundHome; readonly rows: readonly PlacedRow[] }

const hasPlace = (row: ResultRow): boolean => row.location !== '' || row.floor !== null
const FLOORS: Readonly<Record<number, string>> = { [-1]: 'Basement', 0: 'Ground floor', 1: 'First floor up' }
const nameOfPlace = (row: ResultRow): string => row.location || FLOORS[row.floor ?? 0] || `Floor ${row.floor}`

type Place = FoundHome['locations'][number]
const fits = (row: ResultRow, place: Pick<Place, 'name' | 'floor'>): boolean =>
  place.name.toLowerCase() === nameOfPlace(row).toLowerCase() && (row.floor === null || place.floor === row.floor)

/** The place a row names; undefined where it names none. */
export const placeOf = (row: ResultRow, places: readonly Place[]): Place | undefined =>
  hasPlace(row) ? places.find(place => fits(row, place)) : undefined

/** The test locations that rows name and a home does not have. */
export function placesMissing(known: readonly Place[], rows: readonly ResultRow[]): Omit<Place, 'id'>[] {
  const missing: Omit<Place, 'id'>[] = []
  for (const row of rows)
    if (hasPlace(row) && ![...known, ...missing].some(place => fits(row, place)))
      missing.push({ name: nameOfPlace(row), floor: row.floor ?? 0 })
  return missing
}

/** The homes with all the places their rows name: what a home has not is added. */
export async function withPlaces(tx: Tx, act: Act, homes: readonly RowsOfHome[]): Promise<readonly RowsOfHome[]> {
  const missing = homes.flatMap(({ home, rows }) =>
    placesMissing(home.locations, rows).map(place => ({ ...place, propertyId: home.id })),
  )
  if (missing.length === 0) return homes
  const ids = await writeTestLocations(tx, act, missing)
  const added = missing.map((place, i) => ({ ...place, id: ids[i]! }))
  return homes.map(({ home, rows }) => {
    const locations = [...home.locations, ...added.filter(({ propertyId }) => propertyId === home.id)]
    return { home: { ...home, locations }, rows }
  })
}
