import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite, recordWrites } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { insertApart, readApart, voidApart } from './apart-queries.ts'
import { lockCustomer } from './queries.ts'

/** Two entries, in whatever order. */
export type Two = readonly [string, string]

/** Remembers that two entries are two people, so that nobody is asked again; saying it twice changes nothing. */
export async function tellApart(tx: Tx, act: Act, two: Two, reason: string): Promise<void> {
  await holdBoth(tx, act, two)
  if (await readApart(tx, ...two)) return
  const id = newId()
  const staffId = act.actor.kind === 'staff' ? act.actor.id : null
  await insertApart(tx, act.now, { id, pair: two, reason, staffId })
  await recordWrite(tx, act, { action: 'create', noun: 'people_apart', id, version: 1, reason })
}

/** Takes back that they are two: they are suggested again while they look like one. */
export async function takeBackApart(tx: Tx, act: Act, two: Two): Promise<void> {
  await holdBoth(tx, act, two)
  const taken = await voidApart(tx, act.now, two)
  await recordWrites(
    tx,
    act,
    taken.map(row => ({ action: 'void', noun: 'people_apart', ...row })),
  )
}

// In one order, so that two who say it of the same pair at once wait for each other.
async function holdBoth(tx: Tx, act: Act, two: Two): Promise<void> {
  const [first, second] = [...two].sort()
  if (first === second)
    throw problem(422, 'same-person', 'This is one and the same entry: name the other one of the two.')
  await lockCustomer(tx, act, first!)
  await lockCustomer(tx, act, second!)
}
