import { seen } from '../../platform/auth/seen.ts'
import { type Db, sql } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { notFound } from '../../platform/http/problem.ts'

export type SystemHome = {
  readonly id: string
  readonly address: string
  readonly zone: string
  readonly country: string
  readonly areas: readonly { id: string; name: string }[]
}

const home = sql(
  'system-home',
  `select p.id, p.zone, p.country,
     p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address,
     (select coalesce(json_agg(json_build_object('id', a.id, 'name', a.name) order by a.position), '[]')
        from foundation_area a where a.property_id = p.id and a.voided_at is null) as areas
   from property p where p.id = $1 and p.voided_at is null
     and ($2 or p.id in (select property_id from visible_home($3, $4, $5)))`,
)

/** The home a system stands at, with what its forms offer to choose from; 404 when it is not this person's. */
export async function systemHome(db: Db, who: Pick<Act, 'actor' | 'now'>, propertyId: string): Promise<SystemHome> {
  const found = await db.one<SystemHome>(home, [propertyId, ...seen(who.actor, who.now)])
  if (!found) throw notFound('property')
  return found
}
