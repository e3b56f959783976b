import type { Db } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { type Apart, readApart } from './apart-queries.ts'
import { mayShowOnScreen } from './present.ts'
import { phoneMeant } from './read-phone.ts'
import { type Hit, searchHomes } from './search-homes.ts'

const shown = 20

export type HomesOfCall = {
  readonly hits: readonly Hit[]
  /** Those of them that fit on the screen, and what tells them apart. */
  readonly homes: readonly Hit[]
  readonly apart: ReadonlyMap<string, Apart>
}

/** The homes that a fragment may mean: as it was typed or, where nothing answers to that, as a phone number. */
export async function homesOfCall(
  db: Db,
  who: Pick<Act, 'actor' | 'now'>,
  typed: string,
  { country, contacts }: { readonly country: string; readonly contacts: boolean },
): Promise<HomesOfCall> {
  const search = (text: string) => searchHomes(db, who, text, shown + 1, mayShowOnScreen(contacts))
  const number = phoneMeant(typed, country)
  const asTyped = await search(typed)
  const hits = asTyped.length === 0 && number ? await search(number) : asTyped
  const homes = hits.slice(0, shown)
  const apart = await readApart(
    db,
    homes.map(hit => hit.propertyId),
  )
  return { hits, homes, apart }
}
