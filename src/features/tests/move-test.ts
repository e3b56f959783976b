import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrites, type Write } from '../../platform/db/record-write.ts'
import { type MovedTest, markTestsRestored, setExposureRooms, setTestHomes, type TestMove } from './move-queries.ts'

/**
 * Puts tests at the homes they belong to, with the system and the followed test that hold there; what is not named
 * stays. The caller has seen the homes and stands them anew.
 */
export async function moveTests(tx: Tx, act: Act, moves: readonly TestMove[], reason: string): Promise<void> {
  if (moves.length === 0) return
  await traced(tx, act, 'move', await setTestHomes(tx, act.now, moves), reason)
}

/** Takes voided tests back into the reckoning; the caller stands their homes anew. */
export async function restoreTests(tx: Tx, act: Act, ids: readonly string[], reason: string): Promise<void> {
  await traced(tx, act, 'restore', await markTestsRestored(tx, act.now, ids), reason)
}

/** Puts measurements into rooms, as part of moving their tests. */
export async function placeExposures(
  tx: Tx,
  places: readonly { readonly id: string; readonly locationId: string | null }[],
): Promise<void> {
  if (places.length > 0) await setExposureRooms(tx, places)
}

const traced = (tx: Tx, act: Act, action: Write['action'], tests: readonly MovedTest[], reason: string) =>
  recordWrites(
    tx,
    act,
    tests.map(({ id, propertyId, version }) => ({ action, noun: 'test', id, propertyId, version, reason })),
  )
