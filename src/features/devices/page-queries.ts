import { type Db, sql } from '../../platform/db/client.ts'
import type { DeviceRow } from './queries.ts'

/** A lot as a line of the list: how many of its kits left the shop, and how many are out still. */
export type LotLine = Pick<
  DeviceRow,
  'id' | 'kind' | 'method' | 'model' | 'serial' | 'lot' | 'kitCount' | 'expiresOn'
> & {
  readonly left: number
  readonly out: number
  readonly retired: boolean
}

const lots = sql(
  'lot-lines',
  `with lot as materialized (select * from device d where d.voided_at is null and d.kind = 'kit-lot'
     order by d.retired_at nulls first, d.lot, d.id limit 200),
   gone as materialized (select o.device_id, count(*)::int as left,
       (count(*) filter (where o.unanswered and o.returned_on is null and o.lost_on is null))::int as out
     from kit_out o where o.device_id in (select id from lot) group by o.device_id)
   select d.id, d.kind, d.method, d.model, d.serial, d.lot, d.kit_count as "kitCount", d.expires_on as "expiresOn",
     d.retired_at is not null as retired, coalesce(g.left, 0) as left, coalesce(g.out, 0) as out
   from lot d left join gone g on g.device_id = d.id order by d.retired_at nulls first, d.lot, d.id`,
)
/** Lots of kits; those in use first. */
export const lotLines = (db: Db) => db.rows<LotLine>(lots)

/** What a form about a home's devices offers to choose from. */
export type HomeChoices = {
  readonly id: string
  readonly address: string
  readonly zone: string
  readonly country: string
  readonly rooms: readonly { readonly id: string; readonly name: string }[]
  readonly people: readonly { readonly id: string; readonly name: string }[]
  readonly lots: readonly { readonly id: string; readonly name: string; readonly expiresOn: string | null }[]
}

const homeChoices = sql(
  'home-device-choices',
  `select p.id, p.zone, p.country,
     p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address,
     (select coalesce(json_agg(json_build_object('id', l.id, 'name', l.name) order by l.floor, l.position), '[]')
        from test_location l where l.property_id = p.id and l.voided_at is null) as rooms,
     (select coalesce(json_agg(distinct jsonb_build_object('id', c.id, 'name', c.name)), '[]')
        from around_home a join customer c on c.id = a.customer_id
       where a.property_id = p.id and a.until_on is null) as people,
     (select coalesce(json_agg(json_build_object('id', d.id, 'expiresOn', d.expires_on,
          'name', trim(coalesce(nullif(d.model, ''), 'kits') || ' ' || coalesce(d.lot, ''))) order by d.lot, d.id), '[]')
        from device d where d.kind = 'kit-lot' and d.voided_at is null and d.retired_at is null) as lots
   from property p where p.id = $1`,
)
/** The rooms and people of a home the caller has already been allowed to see, and the lots in use. */
export async function homeDeviceChoices(db: Db, propertyId: string): Promise<HomeChoices> {
  const found = await db.one<HomeChoices>(homeChoices, [propertyId])
  if (!found) throw new Error(`devices of no home: ${propertyId}`)
  return found
}
