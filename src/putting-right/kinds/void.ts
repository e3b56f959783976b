import { putCallbacks } from '../../features/callbacks/put-callbacks.ts'
import { putSystems } from '../../features/systems/put-systems.ts'
import { voidTests } from '../../features/tests/correct-test.ts'
import { putVisits } from '../../features/visits/put-visits.ts'
import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import type { Prepared } from '../correction-rows.ts'
import { nouns } from '../nouns.ts'
import { partsOfWrite } from '../record-parts.ts'
import { type NounOfHome, type RecordToPutRight, recordToPutRight } from '../record-to-put-right.ts'
import type { VoidIn } from './void-body.ts'
import { voidHome } from './void-home.ts'

type Verb = (tx: Tx, act: Act, id: string, reason: string) => Promise<unknown>
const verbs: Readonly<Record<NounOfHome, Verb>> = {
  test: (tx, act, id, reason) => voidTests(tx, act, [id], reason),
  system: (tx, act, id, reason) => putSystems(tx, act, [{ id, voidedAt: act.now }], reason),
  visit: (tx, act, id, reason) => putVisits(tx, act, [{ id, voidedAt: act.now }], reason),
  callback: (tx, act, id, reason) => putCallbacks(tx, act, [{ id, voidedAt: act.now }], reason),
}

/** Takes a record out of the reckoning; undone, it counts again. */
export async function voidRecord(tx: Tx, act: Act, asked: VoidIn): Promise<Prepared> {
  const { noun, id, reason } = asked
  if (noun === 'property') return voidHome(tx, act, { id, reason })
  const record = await recordToPutRight(tx, act, noun, id)
  refuseVoided(record)
  return {
    aim: {
      ...{ kind: 'void', noun, nounId: id, intoId: null, reason },
      ...{ subject: record.subject, homes: [record.propertyId], versions: [record.version] },
    },
    work: async tx => ({
      parts: await partsOfWrite(tx, nouns, { [noun]: [id] }, () => verbs[noun](tx, act, id, reason)),
      told: [],
    }),
  }
}

export function refuseVoided({ voided }: Pick<RecordToPutRight, 'voided'>): void {
  if (voided) throw problem(409, 'voided-already', 'It is voided already, and counts for nothing.')
}
