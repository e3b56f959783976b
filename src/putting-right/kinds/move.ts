import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import { seeHomes } from '../../standing/seen-home.ts'
import type { Prepared } from '../correction-rows.ts'
import type { MoveIn } from './move-body.ts'
import { moveTest } from './move-test.ts'

/** Moves one record to the home it belongs to. */
export async function move(tx: Tx, act: Act, asked: MoveIn): Promise<Prepared> {
  await seeHomes(tx, act, [asked.intoId])
  const prepared = await moveTest(tx, act, asked)
  if (prepared.aim.homes.every(home => home === asked.intoId))
    throw problem(422, 'there-already', 'It is at this home already: choose the home it belongs to.')
  return prepared
}
