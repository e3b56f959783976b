import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import { seeHomes } from '../../standing/seen-home.ts'
import type { Prepared } from '../correction-rows.ts'
import type { Moving } from '../moving.ts'
import { nouns } from '../nouns.ts'
import { made, partsOfWrite } from '../record-parts.ts'
import { heldToPutRight, type NounOfHome } from '../record-to-put-right.ts'
import type { MoveIn } from './move-body.ts'
import { moveBooking, moveKit, moveNote } from './move-device.ts'
import { moveCallback, moveEvent, moveSystem, moveVisit } from './move-record.ts'
import { moveTest } from './move-test.ts'

const movers: Readonly<Record<NounOfHome, (tx: Tx, act: Act, asked: MoveIn) => Promise<Moving>>> = {
  test: moveTest,
  system: moveSystem,
  visit: moveVisit,
  callback: moveCallback,
  home_event: moveEvent,
  kit: moveKit,
  booking: moveBooking,
  note: moveNote,
}

/** Moves one record to the home it belongs to, with what is its own; what it named at the old home is cut loose. */
export async function move(tx: Tx, act: Act, asked: MoveIn): Promise<Prepared> {
  const { noun, id, intoId, reason } = asked
  await seeHomes(tx, act, [intoId])
  const record = await heldToPutRight(tx, act, noun, id)
  if (record.propertyId === intoId)
    throw problem(422, 'there-already', 'It is at this home already: choose the home it belongs to.')
  return {
    aim: {
      ...{ kind: 'move', noun, nounId: id, intoId, reason, subject: record.subject },
      ...{ homes: [record.propertyId, intoId], versions: [record.version] },
    },
    async work(tx) {
      const moving = await movers[noun](tx, act, asked)
      const changed = await partsOfWrite(tx, nouns, moving.touched, () => moving.write(tx))
      return { parts: [...made('test_location', moving.rooms?.made ?? []), ...changed], told: moving.told }
    },
  }
}
