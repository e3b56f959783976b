import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite, recordWrites } from '../../platform/db/record-write.ts'
import { stale } from '../../platform/http/problem.ts'
import { restand } from '../../standing/restand.ts'
import { lockProperty, markPropertiesVoided, readProperty, updateProperty } from './queries.ts'
import type { Property } from './rows.ts'
import type { PropertyCorrection } from './schemas.ts'
import { resettleAddress } from './settle-address.ts'

/** Holds a home that is about to change; throws 412 when the caller knew another version. */
export async function propertyToChange(tx: Tx, act: Act, id: string, version: number): Promise<Property> {
  const property = await lockProperty(tx, act, id)
  if (property.version !== version) throw stale(property.version)
  return property
}

/** Corrects facts of a home; the old values stay with who, when and why. Gives the home as it now is. */
export async function correctProperty(
  tx: Tx,
  act: Act,
  id: string,
  version: number,
  { reason, ...patch }: PropertyCorrection,
): Promise<Property> {
  const was = await propertyToChange(tx, act, id, version)
  const now = await resettleAddress(was, patch)
  await updateProperty(tx, act.now, id, now)
  const fields = (Object.keys(now) as (keyof Property)[]).filter(field => now[field as keyof typeof now] !== was[field])
  await recordWrite(tx, act, {
    action: 'correct',
    noun: 'property',
    id,
    propertyId: id,
    version: version + 1,
    fields,
    was: Object.fromEntries(fields.map(field => [field, was[field]])),
    reason,
  })
  await restand(tx, act, id)
  return readProperty(tx, act, id)
}

/** Takes a home out of use: it is found no more, owes nothing, and stays in the history. */
export async function voidProperty(tx: Tx, act: Act, id: string, version: number, reason: string): Promise<Property> {
  await propertyToChange(tx, act, id, version)
  await voidHomes(tx, act, [{ id, version }], reason)
  await restand(tx, act, id)
  return readProperty(tx, act, id)
}

/** The same for homes that the caller holds, and stands anew. */
export async function voidHomes(
  tx: Tx,
  act: Act,
  homes: readonly { readonly id: string; readonly version: number }[],
  reason: string,
): Promise<void> {
  await markPropertiesVoided(
    tx,
    act.now,
    homes.map(({ id }) => id),
    reason,
  )
  await recordWrites(
    tx,
    act,
    homes.map(({ id, version }) => ({
      ...{ action: 'void', noun: 'property', id, propertyId: id, reason },
      version: version + 1,
    })),
  )
}
