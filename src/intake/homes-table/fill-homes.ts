import { writeFoundationAreas } from '../../features/properties/change-parts.ts'
import { putYearsBuilt } from '../../features/properties/put-homes.ts'
import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { Made } from './made-queries.ts'
import type { HouseFacts } from './plan-home.ts'

/** Fills in what homes on record do not know of the house itself; gives what is to be taken back when it is undone. */
export async function fillHomes(
  tx: Tx,
  act: Act,
  homes: readonly { readonly id: string; readonly fill: HouseFacts }[],
): Promise<Made[]> {
  const years = homes.flatMap(({ id, fill: { yearBuilt } }) => (yearBuilt === null ? [] : [{ id, yearBuilt }]))
  await putYearsBuilt(tx, act, years, 'from an old table')
  const areas = homes.flatMap(({ id, fill }) => fill.foundation.map(area => ({ ...area, propertyId: id })))
  const ids = areas.length > 0 ? await writeFoundationAreas(tx, act, areas) : []
  return [
    ...years.map(({ id }): Made => ({ noun: 'year_built', id, propertyId: id })),
    ...ids.map((id, i): Made => ({ noun: 'foundation_area', id, propertyId: areas[i]!.propertyId })),
  ]
}
