import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite, recordWrites } from '../../platform/db/record-write.ts'
import { notFound, stale } from '../../platform/http/problem.ts'
import { restand } from '../../standing/restand.ts'
import { areaRow, locationRow } from './create-property.ts'
import {
  markAreaVoided,
  markLocationsVoided,
  markLocationVoided,
  touchProperties,
  updateArea,
  updateLocation,
} from './part-queries.ts'
import type { AreaCorrection, LocationCorrection } from './part-schemas.ts'
import { insertFoundationAreas, insertTestLocations, lockProperty } from './queries.ts'
import { refuse, unknownReference } from './refuse.ts'
import type { FoundationArea, Property, TestLocation } from './rows.ts'
import type { NewFoundationArea, NewTestLocation } from './schemas.ts'

/** Adds a foundation area; gives its id. The home's version moves on, since it shows its areas. */
export async function addFoundationArea(tx: Tx, act: Act, propertyId: string, input: NewFoundationArea) {
  await lockProperty(tx, act, propertyId)
  const row = areaRow(input)
  await insertFoundationAreas(tx, [{ ...row, propertyId }])
  await recordWrite(tx, act, { action: 'create', noun: 'foundation_area', id: row.id, propertyId, version: 1 })
  await partsChanged(tx, act, propertyId)
  return { ...row, version: 1 }
}

/** Writes foundation areas of homes on record by the same few statements, and gives their ids; the caller stands the homes. */
export async function writeFoundationAreas(
  tx: Tx,
  act: Act,
  inputs: readonly (NewFoundationArea & { readonly propertyId: string })[],
): Promise<readonly string[]> {
  const rows = inputs.map(input => ({ ...areaRow(input), propertyId: input.propertyId }))
  await insertFoundationAreas(tx, rows)
  await recordWrites(
    tx,
    act,
    rows.map(({ id, propertyId }) => ({ action: 'create', noun: 'foundation_area', id, propertyId, version: 1 })),
  )
  await touchProperties(tx, act.now, [...new Set(rows.map(({ propertyId }) => propertyId))])
  return rows.map(({ id }) => id)
}

/** Corrects a foundation area. Gives it as it now is. */
export async function correctFoundationArea(
  tx: Tx,
  act: Act,
  ids: PartIds,
  version: number,
  { reason, ...patch }: AreaCorrection,
): Promise<FoundationArea> {
  const home = await lockProperty(tx, act, ids.propertyId)
  const was = partAt(home.foundationAreas, ids.partId, version, 'foundation area')
  const { fields, now } = corrected(was, patch)
  await updateArea(tx, now)
  await recordWrite(tx, act, { action: 'correct', noun: 'foundation_area', ...correctionOf(ids, was, fields, reason) })
  await partsChanged(tx, act, ids.propertyId)
  return { ...now, version: version + 1 }
}

/** Takes a foundation area out of the home. */
export async function voidFoundationArea(tx: Tx, act: Act, ids: PartIds, version: number, reason: string) {
  const home = await lockProperty(tx, act, ids.propertyId)
  partAt(home.foundationAreas, ids.partId, version, 'foundation area')
  await markAreaVoided(tx, act.now, ids.partId)
  await recordWrite(tx, act, {
    action: 'void',
    noun: 'foundation_area',
    id: ids.partId,
    propertyId: ids.propertyId,
    version: version + 1,
    reason,
  })
  await partsChanged(tx, act, ids.propertyId)
}

type PartIds = { readonly propertyId: string; readonly partId: string }

/** Adds a test location; gives it as kept. */
export async function addTestLocation(
  tx: Tx,
  act: Act,
  propertyId: string,
  input: NewTestLocation,
): Promise<TestLocation> {
  const home = await lockProperty(tx, act, propertyId)
  refuseStrangeArea(home, input.foundationAreaId)
  const [id] = await writeTestLocations(tx, act, [{ propertyId, ...input }])
  await restand(tx, act, propertyId)
  return { ...locationRow(input), id: id!, version: 1 }
}

/** Writes test locations of one home or many by the same few statements, and gives their ids; the caller stands the homes. */
export async function writeTestLocations(
  tx: Tx,
  act: Act,
  inputs: readonly (NewTestLocation & { readonly propertyId: string })[],
): Promise<readonly string[]> {
  const rows = inputs.map(input => ({ ...locationRow(input), propertyId: input.propertyId }))
  await insertTestLocations(tx, act.now, rows)
  await recordWrites(
    tx,
    act,
    rows.map(({ id, propertyId }) => ({ action: 'create', noun: 'test_location', id, propertyId, version: 1 })),
  )
  await touchProperties(
    tx,
    act.now,
    rows.map(({ propertyId }) => propertyId),
  )
  return rows.map(({ id }) => id)
}

/** Corrects a test location; every test at it is judged anew. Gives it as it now is. */
export async function correctTestLocation(
  tx: Tx,
  act: Act,
  ids: PartIds,
  version: number,
  { reason, ...patch }: LocationCorrection,
): Promise<TestLocation> {
  const home = await lockProperty(tx, act, ids.propertyId)
  const was = partAt(home.testLocations, ids.partId, version, 'test location')
  refuseStrangeArea(home, patch.foundationAreaId)
  const { fields, now } = corrected(was, patch)
  await updateLocation(tx, now)
  await recordWrite(tx, act, { action: 'correct', noun: 'test_location', ...correctionOf(ids, was, fields, reason) })
  await partsChanged(tx, act, ids.propertyId)
  return { ...now, version: version + 1 }
}

/** Takes a test location out of use; tests made there keep it. */
export async function voidTestLocation(tx: Tx, act: Act, ids: PartIds, version: number, reason: string) {
  const home = await lockProperty(tx, act, ids.propertyId)
  partAt(home.testLocations, ids.partId, version, 'test location')
  await markLocationVoided(tx, act.now, ids.partId)
  await recordWrite(tx, act, {
    action: 'void',
    noun: 'test_location',
    id: ids.partId,
    propertyId: ids.propertyId,
    version: version + 1,
    reason,
  })
  await partsChanged(tx, act, ids.propertyId)
}

/** The same for many, without regard to their versions; the caller stands their homes. */
export async function voidTestLocations(tx: Tx, act: Act, ids: readonly string[], reason: string): Promise<void> {
  const rooms = await markLocationsVoided(tx, act.now, ids)
  await recordWrites(
    tx,
    act,
    rooms.map(room => ({ action: 'void', noun: 'test_location', ...room, reason })),
  )
  await touchProperties(
    tx,
    act.now,
    rooms.map(({ propertyId }) => propertyId),
  )
}

/** A part with the named fields of a patch; what is not named stays. */
function corrected<P>(was: P, patch: object): { fields: string[]; now: P } {
  const named = Object.entries(patch).filter(([, value]) => value !== undefined)
  return { fields: named.map(([field]) => field), now: { ...was, ...Object.fromEntries(named) } }
}

const correctionOf = <P extends { version: number }>(ids: PartIds, was: P, fields: string[], reason: string) => ({
  id: ids.partId,
  propertyId: ids.propertyId,
  version: was.version + 1,
  fields,
  was,
  reason,
})

function partAt<P extends { id: string; version: number }>(
  parts: readonly P[],
  id: string,
  version: number,
  noun: string,
): P {
  const part = parts.find(candidate => candidate.id === id)
  if (!part) throw notFound(noun)
  if (part.version !== version) throw stale(part.version)
  return part
}

function refuseStrangeArea(home: Property, areaId: string | null | undefined) {
  if (areaId && !home.foundationAreas.some(area => area.id === areaId))
    refuse([unknownReference('/foundationAreaId', 'foundation area at this home', areaId)])
}

async function partsChanged(tx: Tx, act: Act, propertyId: string) {
  await touchProperties(tx, act.now, [propertyId])
  await restand(tx, act, propertyId)
}
