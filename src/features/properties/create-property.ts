import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { newId } from '../../platform/ids.ts'
import { restand } from '../../standing/restand.ts'
import { insertOwnership, isCustomer } from './people-queries.ts'
import { insertFoundationAreas, insertProperty, insertTestLocations, readProperty } from './queries.ts'
import { refuse, unknownReference } from './refuse.ts'
import type { Property, PropertyColumns } from './rows.ts'
import type { NewFoundationArea, NewProperty, NewTestLocation } from './schemas.ts'

/**
 * Takes up a home with its areas, test locations and owner, and its first standing.
 * `settled` is the address as `settleAddress` left it: finding a zone is no work for inside a transaction.
 */
export async function createProperty(
  tx: Tx,
  act: Act,
  settled: PropertyColumns,
  input: Pick<NewProperty, 'ownerId' | 'ownerSince' | 'foundationAreas' | 'testLocations'>,
): Promise<Property> {
  const id = newId()
  await insertProperty(tx, act.now, id, settled)
  await insertFoundationAreas(tx, id, input.foundationAreas.map(areaRow))
  await insertTestLocations(tx, act.now, id, input.testLocations.map(locationRow))
  await recordWrite(tx, act, { action: 'create', noun: 'property', id, propertyId: id, version: 1 })
  if (input.ownerId) await takeUpOwner(tx, act, id, input.ownerId, input.ownerSince ?? null)
  await restand(tx, act, id)
  return readProperty(tx, { ...act, actor: { kind: 'system', id: null } }, id)
}

async function takeUpOwner(tx: Tx, act: Act, propertyId: string, customerId: string, fromOn: string | null) {
  if (!(await isCustomer(tx, customerId))) refuse([unknownReference('/ownerId', 'customer', customerId)])
  const id = newId()
  await insertOwnership(tx, act.now, { id, propertyId, customerId, fromOn, roughly: null })
  await recordWrite(tx, act, { action: 'create', noun: 'ownership', id, propertyId, version: 1 })
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
