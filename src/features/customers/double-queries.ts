import { type Db, sql } from '../../platform/db/client.ts'

/** Somebody on record, as far as doubles are looked for. */
export type PersonOnRecord = {
  readonly id: string
  readonly name: string
  readonly phone: string | null
  readonly email: string | null
  readonly towns: readonly string[]
  readonly homes: number
}

const shown = `c.id, c.name, c.phone, c.email,
  (select count(distinct a.property_id)::int from around_home a where a.customer_id = c.id) as homes,
  (select coalesce(json_agg(distinct t.city), '[]') from (select c.city union all select p.city from around_home a
     join property p on p.id = a.property_id where a.customer_id = c.id and p.voided_at is null limit 20) t where t.city <> '') as towns`

const candidates = sql(
  'customer-double-candidates',
  `select ${shown} from customer me join customer c on c.id in (
       select id from customer where phone = me.phone union select id from customer where lower(email) = lower(me.email)
       union select id from customer where lower(name) = lower(me.name))
    where me.id = $1 and c.voided_at is null order by c.id = me.id desc, c.id limit 50`,
)
/** Somebody, first, and whoever shares their phone, mail address or name. */
export const doubleCandidates = (db: Db, id: string) => db.rows<PersonOnRecord>(candidates, [id])

// A number or name of very many is the company's own or a common one, and says nothing.
const shared = sql(
  'customer-doubles',
  `with used as materialized (select id, name, phone, email, city from customer where voided_at is null),
   towns as (select u.id, u.name, u.city from used u where u.city <> ''
     union select u.id, u.name, p.city from used u join around_home a on a.customer_id = u.id join property p on p.id = a.property_id),
   keyed as (select id, 'phone ' || phone as key from used where phone is not null
     union all select id, 'email ' || lower(email) from used where email is not null
     union all select distinct id, 'name ' || lower(name) || ', ' || lower(city) from towns),
   doubled as (select key, array_agg(id) as ids from keyed group by key having count(*) between 2 and 8 order by key limit $1)
   select ${shown}, k.key from doubled k join customer c on c.id = any(k.ids) order by k.key, c.id`,
)
/** Groups of people who share a phone, a mail address, or their name and a town. */
export const sharedBySome = (db: Db, most: number) => db.rows<PersonOnRecord & { readonly key: string }>(shared, [most])
