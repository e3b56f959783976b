import { addressKey, addressText, houseOf } from '../../domain/address/address-key.ts'
import { seen } from '../../platform/auth/seen.ts'
import { type Db, sql } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { RecordHome } from './find-doubles.ts'
import type { FileHome } from './gather-homes.ts'

type Who = Pick<Act, 'actor' | 'now'>

// A house number in one town or under one postcode, an id, or a tag: few homes for each that is looked for.
const near = sql(
  'import-homes-near',
  `with w as materialized (
     select * from jsonb_to_recordset($1::jsonb) as w(n int, house text, city text, postcode text, id uuid, tags text[])),
   numbered as materialized (
     select p.id, ltrim(coalesce(substring(lower(p.street) from '[0-9][a-z0-9/]*'), split_part(lower(p.street), ' ', 1)), '0') as house,
       lower(p.city) as city, left(replace(lower(p.postcode), ' ', ''), 5) as postcode
       from property p where p.voided_at is null and ($2 or p.id in (select property_id from visible_home($3, $4, $5)))),
   met as (
     select w.n, q.id from w join numbered q on q.house = w.house and q.city = w.city
     union select w.n, q.id from w join numbered q on q.house = w.house and q.postcode = w.postcode and w.postcode <> ''
     union select w.n, q.id from w join numbered q on q.id = w.id
     union select w.n, s.property_id from w join system s on s.tag = any(w.tags) and s.voided_at is null
       join numbered q on q.id = s.property_id)
   select m.n, p.id, p.street, p.unit, p.city, p.region, p.postcode, p.country,
     (select c.name from ownership o join customer c on c.id = o.customer_id
       where o.property_id = p.id and o.until_on is null and o.voided_at is null limit 1) as owner,
     (select coalesce(array_agg(s.tag), '{}') from system s
       where s.property_id = p.id and s.tag is not null and s.voided_at is null) as tags
   from met m join property p on p.id = m.id order by m.n, p.id`,
)
type NearRow = Omit<RecordHome, 'compared' | 'address'> & {
  readonly n: number
  readonly street: string
  readonly unit: string
  readonly city: string
  readonly region: string
  readonly postcode: string
  readonly country: string
}
export type NearHome = RecordHome & { readonly key: string }

const UUID = /^[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i

/** The homes on record that each of some homes of a table may be, by the table's home's key. */
export async function homesNear(
  db: Db,
  who: Who,
  homes: readonly FileHome[],
): Promise<ReadonlyMap<string, NearHome[]>> {
  const found = new Map<string, NearHome[]>()
  const wanted = homes.map((home, n) => ({
    n,
    house: houseOf(home.compared),
    city: home.address.city.toLowerCase(),
    postcode: home.compared.postcode.slice(0, 5),
    id: home.id !== null && UUID.test(home.id) ? home.id : null,
    tags: home.systems.flatMap(({ tag }) => tag ?? []),
  }))
  for (const { n, ...row } of await db.rows<NearRow>(near, [JSON.stringify(wanted), ...seen(who.actor, who.now)])) {
    const near = found.get(homes[n]!.key) ?? []
    near.push(nearHomeOf(row))
    found.set(homes[n]!.key, near)
  }
  return found
}

function nearHomeOf({ id, owner, tags, ...address }: Omit<NearRow, 'n'>): NearHome {
  const compared = addressKey(address)
  const { street, unit, city } = address
  return {
    ...{ id, owner, tags, compared },
    key: addressText({ ...compared, region: `${compared.region} ${address.country}` }),
    address: [street, unit, city].filter(part => part !== '').join(', '),
  }
}

/** What a home on record knows already of what a table may tell. */
export type RecordFacts = {
  readonly id: string
  readonly zone: string
  readonly yearBuilt: number | null
  readonly hasFoundation: boolean
  /** It has an owner, or had one: whose turn it is now a table cannot tell. */
  readonly everOwned: boolean
  /** Everyone who is or was around it. */
  readonly names: readonly string[]
  readonly systems: readonly {
    readonly id: string
    readonly tag: string | null
    readonly dated: boolean
    readonly alarm: boolean
    readonly fans: readonly { readonly model: string; readonly serial: string }[]
    readonly gauges: readonly { readonly value: string; readonly unit: string }[]
  }[]
  readonly results: readonly {
    readonly purpose: string
    readonly value: string
    readonly unit: string
    readonly qualifier: string
    readonly stopAt: number | null
    readonly note: string
  }[]
  readonly notes: readonly string[]
}

const facts = sql(
  'import-record-facts',
  `select p.id, p.zone, p.year_built as "yearBuilt",
     exists (select 1 from foundation_area f where f.property_id = p.id and f.voided_at is null) as "hasFoundation",
     exists (select 1 from ownership o where o.property_id = p.id and o.voided_at is null) as "everOwned",
     (select coalesce(array_agg(c.name), '{}') from around_home a join customer c on c.id = a.customer_id
       where a.property_id = p.id) as names,
     (select coalesce(json_agg(json_build_object('id', s.id, 'tag', s.tag,
          'dated', exists (select 1 from system_event e where e.system_id = s.id and e.voided_at is null
             and e.kind in ('first-start', 'completed') and (e.at is not null or e.edtf is not null)),
          'alarm', exists (select 1 from system_component c where c.system_id = s.id and c.kind = 'alarm' and c.voided_at is null),
          'fans', (select coalesce(json_agg(json_build_object('model', c.model, 'serial', c.serial)), '[]')
             from system_component c where c.system_id = s.id and c.kind = 'fan' and c.voided_at is null),
          'gauges', (select coalesce(json_agg(json_build_object('value', g.value, 'unit', g.unit)), '[]')
             from gauge_reading g where g.system_id = s.id and g.voided_at is null)) order by s.id), '[]')
        from system s where s.property_id = p.id and s.voided_at is null) as systems,
     (select coalesce(json_agg(json_build_object('purpose', t.purpose, 'value', x.value, 'unit', x.unit,
          'qualifier', x.qualifier, 'stopAt', (extract(epoch from x.stop_at) * 1000)::bigint, 'note', t.conditions_note)), '[]')
        from test t join exposure x on x.test_id = t.id and x.voided_at is null
       where t.property_id = p.id and t.voided_at is null and x.value is not null) as results,
     (select coalesce(array_agg(n.text), '{}') from note n
       where n.property_id = p.id and n.subject = 'property' and n.voided_at is null) as notes
   from property p where p.id = any($1::uuid[])`,
)

/** What homes on record know, by id. */
export const recordFacts = async (db: Db, ids: readonly string[]): Promise<ReadonlyMap<string, RecordFacts>> =>
  new Map(ids.length === 0 ? [] : (await db.rows<RecordFacts>(facts, [ids])).map(row => [row.id, row]))

const company = sql('import-company', 'select name, zone, country from company where id = 1')
export type Company = { readonly name: string; readonly zone: string; readonly country: string }
export const readCompany = async (db: Db): Promise<Company> =>
  (await db.one<Company>(company)) ?? { name: '', zone: 'UTC', country: '' }
