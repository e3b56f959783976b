import { at, sql, type Tx } from '../db/client.ts'
import { newId } from '../ids.ts'

/** How long a mailed link opens, ms: longer than the longest round of a yearly reminder. */
export const linkOpensFor = 400 * 86_400_000

export type NewLink = { readonly propertyId: string; readonly customerId: string; readonly purpose: string }

const insert = sql(
  'link-insert',
  `insert into homeowner_link (id, property_id, customer_id, purpose, created_at, expires_at)
   select i.id, i.property, i.customer, i.purpose, $5, $6
     from unnest($1::uuid[], $2::uuid[], $3::uuid[], $4::text[]) as i(id, property, customer, purpose)`,
)

const endLapsed = sql(
  'link-end-lapsed',
  'update homeowner_link set revoked_at = $1 where revoked_at is null and expires_at <= $1',
)
/** Closes links that have expired, so that a clock set back does not open them again. */
export const endLapsedLinks = (tx: Tx, now: number) => tx.rows(endLapsed, [at(now)])

/** Makes one link for each person and home, and gives their ids in order. Nothing kept here opens a page. */
export async function insertLinks(tx: Tx, now: number, links: readonly NewLink[]): Promise<string[]> {
  const ids = links.map(() => newId())
  if (links.length > 0)
    await tx.rows(insert, [
      ids,
      links.map(link => link.propertyId),
      links.map(link => link.customerId),
      links.map(link => link.purpose),
      at(now),
      at(now + linkOpensFor),
    ])
  return ids
}
