import { formerDetails, mergedDetails, type PersonDetails } from '../../domain/people/merged-details.ts'
import { changeCustomers, keepFormerDetails, passOnFormerDetails } from '../../features/customers/merge-customer.ts'
import { formerDetailsOf, mergedIntoThis } from '../../features/customers/merge-queries.ts'
import { type Customer, lockCustomer } from '../../features/customers/queries.ts'
import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import { holdHomes } from '../../standing/restand.ts'
import { seeHomes } from '../../standing/seen-home.ts'
import type { Done, Prepared } from '../correction-rows.ts'
import { nouns } from '../nouns.ts'
import { made, partsOfWrite } from '../record-parts.ts'
import { belongingsOf, handOver, homesOf } from './belongings.ts'
import type { MergeCustomersIn } from './merge-customers-body.ts'
import { mergeTold } from './merge-customers-told.ts'

/** Two entries of one person become one: everything of the doubled one goes to the one that stays. */
export async function mergeCustomers(tx: Tx, act: Act, asked: MergeCustomersIn): Promise<Prepared> {
  if (asked.id === asked.intoId)
    throw problem(422, 'same-person', 'This is one and the same entry: name the other one of the two.')
  // Homes before people, as everybody who writes holds them. Whoever gets a home in between is told to look again.
  const homes = await homesOf(tx, asked.id)
  await holdHomes(
    tx,
    homes.map(({ id }) => id),
  )
  const [first, second] = [asked.id, asked.intoId].sort()
  const held = [await lockCustomer(tx, act, first!), await lockCustomer(tx, act, second!)]
  const [doubled, kept] = [held.find(one => one.id === asked.id)!, held.find(one => one.id === asked.intoId)!]
  const now = await homesOf(tx, asked.id)
  if (now.map(({ id }) => id).join() !== homes.map(({ id }) => id).join())
    throw problem(409, 'not-as-shown', 'A home came to them or went from them just now. Look at it again.')
  await seeHomes(
    tx,
    act,
    homes.filter(({ voided }) => !voided).map(({ id }) => id),
  )
  const details = mergedDetails(kept, doubled, asked.choose ?? {})
  if (details.note.length > longestNote)
    throw problem(422, 'note-too-long', 'The two notes are too long for one.', [
      {
        pointer: '/choose/note',
        code: 'too-long',
        detail: `Together they are longer than ${longestNote} signs: keep one of the two`,
      },
    ])
  return {
    aim: {
      ...{ kind: 'merge-customers', noun: 'customer', nounId: doubled.id, intoId: kept.id, reason: asked.reason },
      subject: doubled.name,
      homes: homes.map(({ id }) => id),
      versions: [doubled.version, kept.version],
    },
    work: tx => workOf(tx, act, { doubled, kept, details, reason: asked.reason }),
  }
}

const longestNote = 4000

type Merging = {
  readonly doubled: Customer
  readonly kept: Customer
  readonly details: PersonDetails
  readonly reason: string
}

async function workOf(tx: Tx, act: Act, merging: Merging): Promise<Done> {
  const { doubled, kept, details, reason } = merging
  const belongings = await belongingsOf(tx, doubled.id, kept.id)
  const [former, earlier] = [await formerDetailsOf(tx, doubled.id), await mergedIntoThis(tx, doubled.id)]
  const gone = formerDetails(kept, doubled, details)
  let fresh: readonly string[] = []
  // Undone from behind: people first, so that mails go to their addresses, then links, before those of strangers close.
  const touched = {
    ...belongings.touched,
    former_detail: former.map(({ id }) => id),
    customer: [kept.id, doubled.id, ...earlier],
  }
  const parts = await partsOfWrite(tx, nouns, touched, async () => {
    await changeCustomers(
      tx,
      act,
      [
        { id: kept.id, ...details },
        { id: doubled.id, voidedAt: act.now, voidReason: reason, mergedIntoId: kept.id },
        ...earlier.map(id => ({ id, mergedIntoId: kept.id })),
      ],
      reason,
    )
    await handOver(tx, act, belongings, kept.id, reason)
    await passOnFormerDetails(
      tx,
      former.map(({ id }) => ({ id, customerId: kept.id })),
    )
    fresh = await keepFormerDetails(tx, act, { customerId: kept.id, doubledId: doubled.id }, gone)
  })
  return {
    parts: [...made('former_detail', fresh), ...parts],
    told: mergeTold({ ...merging, belongings, former: gone }),
  }
}
