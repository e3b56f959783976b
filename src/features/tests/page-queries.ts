import { seen } from '../../platform/auth/seen.ts'
import { type Db, sql } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { notFound } from '../../platform/http/problem.ts'

/** What a form about a test at this home offers to choose from. */
export type TestChoices = {
  readonly id: string
  readonly address: string
  readonly zone: string
  readonly country: string
  readonly locations: readonly { id: string; name: string; floor: number }[]
  readonly systems: readonly { id: string; type: string; tag: string | null }[]
  readonly devices: readonly { id: string; kind: string; method: string; name: string }[]
}

const choices = sql(
  'test-choices',
  `select p.id, p.zone, p.country,
     p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address,
     (select coalesce(json_agg(json_build_object('id', l.id, 'name', l.name, 'floor', l.floor) order by l.floor, l.position), '[]')
        from test_location l where l.property_id = p.id and l.voided_at is null) as locations,
     (select coalesce(json_agg(json_build_object('id', s.id, 'type', s.type, 'tag', s.tag) order by s.id), '[]')
        from system s where s.property_id = p.id and s.voided_at is null) as systems,
     (select coalesce(json_agg(json_build_object('id', d.id, 'kind', d.kind, 'method', d.method,
          'name', trim(d.model || ' ' || coalesce(d.serial, d.lot, ''))) order by d.kind desc, d.serial, d.lot), '[]')
        from device d where d.voided_at is null and d.retired_at is null) as devices
   from property p where p.id = $1 and p.voided_at is null
     and ($2 or p.id in (select property_id from visible_home($3, $4, $5)))`,
)

/** The choices at a home this person may see; 404 otherwise. */
export async function testChoices(db: Db, who: Pick<Act, 'actor' | 'now'>, propertyId: string): Promise<TestChoices> {
  const found = await db.one<TestChoices>(choices, [propertyId, ...seen(who.actor, who.now)])
  if (!found) throw notFound('property')
  return found
}

/** A device that measured, by the name its own page has. */
export type TestDevice = { readonly id: string; readonly name: string }

const devices = sql(
  'test-devices',
  `select d.id, trim(coalesce(nullif(d.model, ''), case d.kind when 'monitor' then 'Radon monitor' else 'Lot of kits' end)
       || ' ' || coalesce(d.serial, d.lot, '')) as name
     from device d where d.id in (select x.device_id from exposure x where x.test_id = $1 and x.voided_at is null)`,
)
/** The devices of a test the caller has already been allowed to read, those out of use among them. */
export const devicesOf = (db: Db, testId: string) => db.rows<TestDevice>(devices, [testId])
