import { seen } from '../../platform/auth/seen.ts'
import { type Db, sql } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { notFound } from '../../platform/http/problem.ts'

export type CallbackHome = {
  readonly id: string
  readonly address: string
  readonly zone: string
  readonly country: string
  readonly systems: readonly { id: string; type: string; tag: string | null; gauge: string | null }[]
}

const home = sql(
  'callback-home',
  `select p.id, p.zone, p.country,
     p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address,
     (select coalesce(json_agg(json_build_object('id', s.id, 'type', s.type, 'tag', s.tag,
        'gauge', (select g.value || ' ' || g.unit from gauge_reading g where g.system_id = s.id and g.voided_at is null
            and g.role in ('start-up', 'adopted') order by g.at desc limit 1)) order by s.id), '[]')
        from system s where s.property_id = p.id and s.voided_at is null) as systems
   from property p where p.id = $1 and p.voided_at is null
     and ($2 or p.id in (select property_id from visible_home($3, $4, $5)))`,
)
/** The home that is called about, with its systems and what their gauges showed at the start. */
export async function callbackHome(db: Db, who: Pick<Act, 'actor' | 'now'>, propertyId: string): Promise<CallbackHome> {
  const found = await db.one<CallbackHome>(home, [propertyId, ...seen(who.actor, who.now)])
  if (!found) throw notFound('property')
  return found
}
