import { type Db, sql } from '../../platform/db/client.ts'

/** What tells a home from others that answer alike. */
export type Apart = {
  readonly propertyId: string
  readonly owner: string | null
  readonly livesThere: string | null
  readonly tags: string | null
}

const apart = sql(
  'search-apart',
  `select h.id as "propertyId",
     (select string_agg(c.name, ', ' order by c.name) from around_home a join customer c on c.id = a.customer_id
       where a.property_id = h.id and a.until_on is null and a.role = 'owner') as owner,
     (select string_agg(c.name || ' (' || a.role || ')', ', ' order by c.name) from around_home a join customer c on c.id = a.customer_id
       where a.property_id = h.id and a.until_on is null and a.role in ('occupant', 'tenant')) as "livesThere",
     (select string_agg(s.tag, ', ' order by s.tag) from system s where s.property_id = h.id and s.voided_at is null) as tags
   from unnest($1::uuid[]) h(id)`,
)
/** Owner, who lives there and tags of some homes, in one statement however many. */
export const readApart = async (db: Db, homes: readonly string[]): Promise<ReadonlyMap<string, Apart>> =>
  new Map((await db.rows<Apart>(apart, [homes])).map(row => [row.propertyId, row]))
