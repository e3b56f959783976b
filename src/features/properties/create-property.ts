import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrites } from '../../platform/db/record-write.ts'
import { newId } from '../../platform/ids.ts'
import { restand } from '../../standing/restand.ts'
import { writeOwners } from './change-owner.ts'
import { isCustomer } from './people-queries.ts'
import { insertFoundationAreas, insertProperties, insertTestLocations, readProperty } from './queries.ts'
import { refuse, unknownReference } from './refuse.ts'
import type { Property, PropertyColumns } from './rows.ts'
import type { NewFoundationArea, NewProperty, NewTestLocation } from './schemas.ts'

type HomeParts = Pick<NewProperty, 'foundationAreas' | 'testLocations'>

/**
 * Takes up a home with its areas, test locations and owner, and its first standing.
 * `settled` is the address as `settleAddress` left it: finding a zone is no work for inside a transaction.
 */
export async function createProperty(
  tx: Tx,
  act: Act,
  settled: PropertyColumns,
  input: HomeParts & Pick<NewProperty, 'ownerId' | 'ownerSince'>,
): Promise<Property> {
  const [home] = await writeHomes(tx, act, [{ settled, ...input }])
  const { id } = home!
  if (input.ownerId) await takeUpOwner(tx, act, id, input.ownerId, input.ownerSince ?? null)
  await restand(tx, act, id)
  return readProperty(tx, { ...act, actor: { kind: 'system', id: null } }, id)
}

type WrittenHome = { readonly id: string; readonly locations: readonly { id: string; name: string; floor: number }[] }

/** Writes homes with their areas and test locations, by the same few statements however many; the caller stands them. */
export async function writeHomes(
  tx: Tx,
  act: Act,
  homes: readonly (HomeParts & { readonly settled: PropertyColumns })[],
): Promise<readonly WrittenHome[]> {
  const made = homes.map(home => ({ id: newId(), ...home, locations: home.testLocations.map(locationRow) }))
  await insertProperties(
    tx,
    act.now,
    made.map(({ id, settled }) => ({ ...settled, id })),
  )
  await insertFoundationAreas(
    tx,
    made.flatMap(({ id, foundationAreas }) => foundationAreas.map(area => ({ ...areaRow(area), propertyId: id }))),
  )
  await insertTestLocations(
    tx,
    act.now,
    made.flatMap(({ id, locations }) => locations.map(location => ({ ...location, propertyId: id }))),
  )
  await recordWrites(
    tx,
    act,
    made.map(({ id }) => ({ action: 'create', noun: 'property', id, propertyId: id, version: 1 })),
  )
  return made
}

async function takeUpOwner(tx: Tx, act: Act, propertyId: string, customerId: string, fromOn: string | null) {
  if (!(await isCustomer(tx, customerId))) refuse([unknownReference('/ownerId', 'customer', customerId)])
  await writeOwners(tx, act, [{ propertyId, customerId, fromOn, roughly: null }])
}

export const areaRow = (area: NewFoundationArea) => ({
  id: newId(),
  kind: area.kind,
  name: area.name,
  areaM2: area.areaM2 ?? null,
})

export const locationRow = (
  location: Omit<NewTestLocation, 'foundationAreaId'> & { foundationAreaId?: string | null },
) => ({
  id: newId(),
  name: location.name,
  floor: location.floor,
  roomKind: location.roomKind ?? 'room',
  livedIn: location.livedIn ?? null,
  foundationAreaId: location.foundationAreaId ?? null,
  note: location.note ?? '',
})
