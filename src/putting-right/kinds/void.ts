import { putCallbacks } from '../../features/callbacks/put-callbacks.ts'
import { putBookings, putKits } from '../../features/devices/put-home-devices.ts'
import { putNotes } from '../../features/documents/put-notes.ts'
import { putEvents } from '../../features/properties/put-homes.ts'
import { putSystems } from '../../features/systems/put-systems.ts'
import { voidTests } from '../../features/tests/correct-test.ts'
import { putVisits } from '../../features/visits/put-visits.ts'
import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { Prepared } from '../correction-rows.ts'
import { nouns } from '../nouns.ts'
import { partsOfWrite } from '../record-parts.ts'
import { heldToPutRight, type NounOfHome } from '../record-to-put-right.ts'
import type { VoidIn } from './void-body.ts'
import { voidHome } from './void-home.ts'

type Verb = (tx: Tx, act: Act, changes: readonly { id: string; voidedAt: number }[], reason: string) => Promise<unknown>
const verbs: Readonly<Record<NounOfHome, Verb>> = {
  test: (tx, act, changes, reason) =>
    voidTests(
      tx,
      act,
      changes.map(({ id }) => id),
      reason,
    ),
  system: putSystems,
  visit: putVisits,
  callback: putCallbacks,
  home_event: putEvents,
  kit: putKits,
  booking: putBookings,
  note: putNotes,
}

/** Takes a record out of the reckoning; undone, it counts again. */
export async function voidRecord(tx: Tx, act: Act, asked: VoidIn): Promise<Prepared> {
  const { noun, id, reason } = asked
  if (noun === 'property') return voidHome(tx, act, { id, reason })
  const record = await heldToPutRight(tx, act, noun, id)
  return {
    aim: {
      ...{ kind: 'void', noun, nounId: id, intoId: null, reason },
      ...{ subject: record.subject, homes: [record.propertyId], versions: [record.version] },
    },
    work: async tx => ({
      parts: await partsOfWrite(tx, nouns, { [noun]: [id] }, () =>
        verbs[noun](tx, act, [{ id, voidedAt: act.now }], reason),
      ),
      told: [],
    }),
  }
}
