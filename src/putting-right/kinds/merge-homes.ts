import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import type { Prepared } from '../correction-rows.ts'
import { homeToPutRight } from '../home-to-put-right.ts'
import { planMerge } from '../merged-home.ts'
import { nouns } from '../nouns.ts'
import { partsOfWrite } from '../record-parts.ts'
import type { MergeHomesIn } from './merge-homes-body.ts'

/** A home that stands here twice: everything goes to the entry that stays, the emptied one says where it went. */
export async function mergeHomes(tx: Tx, act: Act, { id, intoId, reason }: MergeHomesIn): Promise<Prepared> {
  if (id === intoId) throw problem(422, 'same-home', 'These are one entry already: choose the other one.')
  // Held in the order of their ids, as whoever holds several homes does.
  const [first, second] = [id, intoId].sort() as [string, string]
  const held = [await homeToPutRight(tx, act, first), await homeToPutRight(tx, act, second)]
  const [from, into] = id === first ? [held[0]!, held[1]!] : [held[1]!, held[0]!]
  return {
    aim: {
      ...{ kind: 'merge-homes', noun: 'property', nounId: id, intoId, reason, subject: from.address },
      ...{ homes: [id, intoId], versions: [from.version, into.version] },
    },
    async work(tx) {
      const merge = await planMerge(tx, act, { fromId: id, intoId, reason })
      return { parts: await partsOfWrite(tx, nouns, merge.touched, () => merge.write(tx)), told: merge.told }
    },
  }
}
