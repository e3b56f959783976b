import { at, type Database, sql, type Tx } from '../platform/db/client.ts'
import { restandHomes } from './restand.ts'

const markStale = sql(
  'standing-mark-stale',
  'update standing set stale_since = $2 where property_id = any($1::uuid[]) and stale_since is null',
)
const markAllStale = sql('standing-mark-all-stale', 'update standing set stale_since = $1 where stale_since is null')

/** Marks homes whose standing rests on a fact that has changed elsewhere; the sweep stands them anew. */
export const markHomesStale = (tx: Tx, now: number, propertyIds: readonly string[]) =>
  tx.rows(markStale, [propertyIds, at(now)])
/** Marks every home: a rule set was published, or the way of reckoning changed. */
export const markAllHomesStale = (tx: Tx, now: number) => tx.rows(markAllStale, [at(now)])

// What is marked, and what time alone has changed. The home's row is locked, as by every writer, and what somebody
// else holds is left to them or to the next sweep.
const due = sql(
  'standing-due',
  `select p.id from standing s join property p on p.id = s.property_id
    where s.stale_since is not null or s.next_change_at <= $1
    order by p.id limit $2 for no key update of p skip locked`,
)

const batch = 200

/** Stands anew whatever is stale or has aged past its next change, a batch a transaction; gives how many. */
export async function restandDue(db: Database, now: number): Promise<number> {
  let done = 0
  for (;;) {
    const stood = await db.transaction(async tx => {
      const ids = (await tx.rows<{ id: string }>(due, [at(now), batch])).map(row => row.id)
      if (ids.length) await restandHomes(tx, { now }, ids)
      return ids.length
    })
    done += stood
    if (stood < batch) return done
  }
}
