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
    where me.id = $1 and c.voided_at is null and c.id not in (
      select other_id from people_apart_now where one_id = $1 union select one_id from people_apart_now where other_id = $1)
    order by c.id = me.id desc, c.id limit 50`,
)
/** Somebody, first, and whoever shares their phone, mail address or name and is not said to be somebody else. */
export const doubleCandidates = (db: Db, id: string) => db.rows<PersonOnRecord>(candidates, [id])

// A number or name of very many is the company's own or a common one, and says nothing. A group whose every pair is said
// to be two people must not take the place of one that nobody has looked at.
const shared = sql(
  'customer-doubles',
  `with used as materialized (select id, name, phone, email, city from customer where voided_at is null),
   towns as (select u.id, u.name, u.city from used u where u.city <> ''
     union select u.id, u.name, p.city from used u join around_home a on a.customer_id = u.id join property p on p.id = a.property_id),
   keyed as (select id, 'phone ' || phone as key from used where phone is not null
     union all select id, 'email ' || lower(email) from used where email is not null
     union all select distinct id, 'name ' || lower(name) || ', ' || lower(city) from towns),
   apart as materialized (select distinct one_id, other_id from people_apart_now),
   settled as (select k.key, count(*) as pairs from apart a join keyed k on k.id = a.one_id
     join keyed o on o.id = a.other_id and o.key = k.key group by k.key),
   doubled as (select k.key, array_agg(k.id) as ids from keyed k left join settled s on s.key = k.key group by k.key
     having count(*) between 2 and 8 and coalesce(max(s.pairs), 0) < count(*) * (count(*) - 1) / 2 order by k.key limit $1)
   select ${shown}, k.key, array(select a.other_id from apart a where a.one_id = c.id and a.other_id = any(k.ids)) as apart
     from doubled k join customer c on c.id = any(k.ids) order by k.key, c.id`,
)
/** Somebody of a group; `apart` are those of the group, later in their order, who are said to be somebody else. */
type InGroup = PersonOnRecord & { readonly key: string; readonly apart: readonly string[] }
/** Groups of people who share a phone, a mail address, or their name and a town, each in the order of their ids. */
export const sharedBySome = (db: Db, most: number) => db.rows<InGroup>(shared, [most])
