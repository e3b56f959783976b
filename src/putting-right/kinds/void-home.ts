import { putCallbacks } from '../../features/callbacks/put-callbacks.ts'
import { putBookings, putKits } from '../../features/devices/put-home-devices.ts'
import { putHomes } from '../../features/properties/put-homes.ts'
import { putSystems } from '../../features/systems/put-systems.ts'
import { voidTests } from '../../features/tests/correct-test.ts'
import { putVisits } from '../../features/visits/put-visits.ts'
import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { Prepared } from '../correction-rows.ts'
import { homeToPutRight } from '../home-to-put-right.ts'
import { nouns } from '../nouns.ts'
import { partsOfWrite } from '../record-parts.ts'
import { thingsOfHome, thingsWords } from '../things-of-home.ts'

/**
 * The wrong home goes with all that stands elsewhere too: its tests, systems, visits, callbacks, kits and bookings.
 * What shows on its own page alone (rooms, people, notes) stays on that page, which is shown as voided.
 */
export async function voidHome(tx: Tx, act: Act, { id, reason }: { id: string; reason: string }): Promise<Prepared> {
  const home = await homeToPutRight(tx, act, id)
  const things = await thingsOfHome(tx, id)
  const { test, system, visit, callback, kit, booking } = things
  const gone = (ids: readonly string[]) => ids.map(id => ({ id, voidedAt: act.now }))
  const write = async (tx: Tx) => {
    if (test.length > 0) await voidTests(tx, act, test, reason)
    await putSystems(tx, act, gone(system), reason)
    await putVisits(tx, act, gone(visit), reason)
    await putCallbacks(tx, act, gone(callback), reason)
    await putKits(tx, act, gone(kit), reason)
    await putBookings(tx, act, gone(booking), reason)
    await putHomes(tx, act, gone([id]), reason)
  }
  return {
    aim: {
      ...{ kind: 'void', noun: 'property', nounId: id, intoId: null, reason },
      ...{ subject: home.address, homes: [id], versions: [home.version] },
    },
    work: async tx => ({
      parts: await partsOfWrite(tx, nouns, { test, system, visit, callback, kit, booking, property: [id] }, () =>
        write(tx),
      ),
      told: thingsWords(things).map(thing => `With it: ${thing}.`),
    }),
  }
}
