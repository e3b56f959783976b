import { sql, type Tx } from '../../platform/db/client.ts'

const homesAtOnce = 1_000
const next = sql(
  'search-refresh-next',
  `with homes as materialized (
     select id from property where $1::uuid is null or id > $1 order by id limit ${homesAtOnce}),
   done as materialized (select refresh_search(array(select id from homes order by id)))
   select (select max(id::text) from homes) as last from done`,
)

/** Makes what homes are found by from the records alone, for records that came past the triggers. */
export async function refreshSearch(tx: Tx): Promise<void> {
  for (let last: string | null = null; ; ) {
    last = (await tx.one<{ last: string | null }>(next, [last]))?.last ?? null
    if (last === null) return
  }
}
