import type { Instant, TestMethod } from '../../domain/facts.ts'
import { type Db, sql } from '../../platform/db/client.ts'
import { type BaselineRow, baselineSql } from '../../standing/baseline.ts'

/** What a crew needs of the home it goes to. */
export type VisitPlace = {
  readonly street: string
  readonly city: string
  readonly region: string
  readonly postcode: string
  readonly country: string
  readonly people: readonly { readonly name: string; readonly phone: string | null }[]
  /** Devices that stand there now. */
  readonly standing: readonly {
    readonly testId: string
    readonly method: TestMethod
    readonly setAt: Instant | null
    readonly where: string
    readonly device: string
  }[]
  readonly systems: readonly {
    readonly id: string
    readonly tag: string | null
    readonly fan: string
    readonly active: boolean
    readonly baseline: BaselineRow | null
  }[]
}

const place = sql(
  'visit-place',
  `select p.street, p.city, p.region, p.postcode, p.country,
     (select coalesce(json_agg(json_build_object('name', c.name, 'phone', case when $2 then c.phone end) order by a.role = 'owner', c.name), '[]')
        from around_home a join customer c on c.id = a.customer_id
       where a.property_id = p.id and a.until_on is null
         and a.role in ('owner', 'occupant', 'tenant', 'property-manager')) as people,
     (select coalesce(json_agg(json_build_object('testId', t.id, 'method', t.method,
          'setAt', (extract(epoch from t.set_at) * 1000)::bigint,
          'where', (select coalesce(string_agg(distinct l.name, ', '), '') from exposure x join test_location l on l.id = x.location_id
                     where x.test_id = t.id and x.voided_at is null),
          'device', (select coalesce(string_agg(distinct trim(d.model || ' ' || coalesce(d.serial, x.kit_number, d.lot, '')), ', '), '')
                      from exposure x join device d on d.id = x.device_id where x.test_id = t.id and x.voided_at is null))
          order by t.set_at), '[]')
        from test t where t.property_id = p.id and t.voided_at is null and t.set_at is not null
         and t.picked_up_at is null and t.result_in_at is null) as standing,
     (select coalesce(json_agg(json_build_object('id', s.id, 'tag', s.tag, 'active', s.active,
          'fan', coalesce((select trim(k.model) from system_component k where k.system_id = s.id and k.kind = 'fan'
             and k.voided_at is null and k.removed_at is null and k.removed_edtf is null order by k.id desc limit 1), ''),
          'baseline', ${baselineSql('s.id')}) order by s.id), '[]')
        from system s where s.property_id = p.id and s.voided_at is null) as systems
   from property p where p.id = $1`,
)
/** The place of a visit this person may see; phone numbers only for those who may see how people are reached. */
export async function visitPlace(db: Db, propertyId: string, contacts: boolean): Promise<VisitPlace> {
  const found = await db.one<VisitPlace>(place, [propertyId, contacts])
  if (!found) throw new Error(`visit to no home: ${propertyId}`)
  return found
}
