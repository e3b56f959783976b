import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrites } from '../../platform/db/record-write.ts'
import { type AroundChange, ownersOf, revokeLinksOfStranger, updateAround } from './hand-over-queries.ts'

/** Says of ownerships whose they are and how long; the caller has seen their homes and stands them anew. */
export const handOverOwnerships = (tx: Tx, act: Act, changes: readonly AroundChange[], reason: string): Promise<void> =>
  handOver(tx, act, 'ownership', changes, reason)

/** The same of other people's parts around homes. */
export const handOverPersons = (tx: Tx, act: Act, changes: readonly AroundChange[], reason: string): Promise<void> =>
  handOver(tx, act, 'property_person', changes, reason)

/** Gives ownerships back to whom they are after all; whoever had them in between is let in to these homes no more. */
export async function giveBackOwnerships(
  tx: Tx,
  act: Act,
  changes: readonly AroundChange[],
  reason: string,
): Promise<void> {
  const had = await ownersOf(
    tx,
    changes.filter(({ customerId }) => customerId !== undefined).map(({ id }) => id),
  )
  await handOverOwnerships(tx, act, changes, reason)
  for (const customerId of new Set(had.map(one => one.customerId))) {
    const homes = had.filter(one => one.customerId === customerId).map(({ propertyId }) => propertyId)
    await revokeLinksOfStranger(tx, customerId, homes, act.now)
  }
}

// Two owners' times never overlap, not even from one row to the next: what ends makes room before what begins.
const turnOf = ({ voidedAt }: AroundChange): number => (voidedAt === undefined ? 1 : voidedAt === null ? 2 : 0)

async function handOver(
  tx: Tx,
  act: Act,
  noun: 'ownership' | 'property_person',
  changes: readonly AroundChange[],
  reason: string,
): Promise<void> {
  for (const turn of [0, 1, 2]) {
    const rows = changes.filter(change => turnOf(change) === turn)
    if (rows.length === 0) continue
    const action = (['void', 'correct', 'restore'] as const)[turn]!
    const changed = await updateAround(tx, noun, rows)
    await recordWrites(
      tx,
      act,
      changed.map(({ id, propertyId, version }) => ({ action, noun, id, propertyId, version, reason })),
    )
  }
}
