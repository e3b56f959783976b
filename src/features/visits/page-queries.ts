import { seen } from '../../platform/auth/seen.ts'
import { type Db, sql } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { notFound } from '../../platform/http/problem.ts'

export type VisitHome = {
  readonly id: string
  readonly address: string
  readonly zone: string
  readonly country: string
  readonly callbacks: readonly { id: string; number: number; complaint: string }[]
  readonly people: readonly { id: string; name: string }[]
}

const home = sql(
  'visit-home',
  `select p.id, p.zone, p.country,
     p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address,
     (select coalesce(json_agg(json_build_object('id', c.id, 'number', c.number, 'complaint', c.complaint) order by c.number), '[]')
        from callback c where c.property_id = p.id and c.voided_at is null and c.closed_at is null) as callbacks,
     (select coalesce(json_agg(json_build_object('id', s.id, 'name', s.name) order by s.name), '[]')
        from staff s where s.disabled_at is null) as people
   from property p where p.id = $1 and p.voided_at is null
     and ($2 or p.id in (select property_id from visible_home($3, $4, $5)))`,
)
/** The home that is gone to, its open callbacks, and who can go. */
export async function visitHome(db: Db, who: Pick<Act, 'actor' | 'now'>, propertyId: string): Promise<VisitHome> {
  const found = await db.one<VisitHome>(home, [propertyId, ...seen(who.actor, who.now)])
  if (!found) throw notFound('property')
  return found
}
