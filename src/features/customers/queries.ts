import { seen } from '../../platform/auth/seen.ts'
import { at, type Db, type Statement, sql, type Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { notFound } from '../../platform/http/problem.ts'

type Who = Pick<Act, 'actor' | 'now'>

export type CustomerColumns = {
  readonly kind: 'person' | 'company'
  readonly name: string
  readonly email: string | null
  readonly phone: string | null
  readonly street: string
  readonly city: string
  readonly region: string
  readonly postcode: string
  readonly country: string
  readonly language: string
  readonly preferredChannel: 'email' | 'phone' | 'letter'
  readonly note: string
  readonly mailsStoppedAt: number | null
}
export type Customer = CustomerColumns & {
  readonly id: string
  readonly mailRefusedAt: number | null
  readonly mailRefusal: string | null
  readonly version: number
  readonly createdAt: number
  readonly updatedAt: number
  readonly voidedAt: number | null
  readonly voidReason: string | null
  /** The entry it was merged into. */
  readonly mergedIntoId: string | null
}

const columns = `c.id, c.kind, c.name, c.email, c.phone, c.street, c.city, c.region, c.postcode, c.country, c.language,
  c.preferred_channel as "preferredChannel", c.note, c.mails_stopped_at as "mailsStoppedAt",
  c.mail_refused_at as "mailRefusedAt", c.version, c.created_at as "createdAt", c.updated_at as "updatedAt",
  c.mail_refusal as "mailRefusal", c.voided_at as "voidedAt", c.void_reason as "voidReason", c.merged_into_id as "mergedIntoId"`

// Who sees some homes only sees the people who are around those homes today.
const visible = (n: number) => `($${n} or c.id in (
  select a.customer_id from around_home a join visible_home($${n + 1}, $${n + 2}, $${n + 3}) v using (property_id) where a.until_on is null))`

const customerById = sql('customer-by-id', `select ${columns} from customer c where c.id = $1 and ${visible(2)}`)

/** The customer, or the 404 it shares with those whom this actor may not see. */
export async function readCustomer(db: Db, who: Who, id: string): Promise<Customer> {
  const customer = await db.one<Customer>(customerById, [id, ...seen(who.actor, who.now)])
  if (!customer) throw notFound('customer')
  return customer
}

const lockById = sql('customer-lock', 'select id from customer where id = $1 and voided_at is null for update')

/** Holds a customer that is to be changed and reads it; a voided one is not there to change. */
export async function lockCustomer(tx: Tx, act: Act, id: string): Promise<Customer> {
  if (!(await tx.one(lockById, [id]))) throw notFound('customer')
  return readCustomer(tx, act, id)
}

export type CustomerFilter = { readonly name?: string; readonly email?: string; readonly propertyId?: string }

// One statement for each set of filters, so that each has a plan of its own: an "or $n is null" would scan.
const conditions = {
  name: (n: number) => `c.id in (select id from customer where lower(name) like $${n}
    union all select customer_id from former_detail where field = 'name' and voided_at is null and lower(value) like $${n})`,
  email: (n: number) => `c.id in (select id from customer where lower(email) = $${n}
    union all select customer_id from former_detail where field = 'email' and voided_at is null and lower(value) = $${n})`,
  propertyId: (n: number) => `c.id in (select a.customer_id from around_home a where a.property_id = $${n}::uuid)`,
}
type Condition = keyof typeof conditions
const listStatement = (used: readonly Condition[], resumed: boolean): Statement =>
  sql(
    ['customer-list', ...used, resumed ? 'after' : 'first'].join('-'),
    `select ${columns} from customer c where ${visible(1)} and c.voided_at is null
       ${used.map((name, i) => `and ${conditions[name](i + 6)}`).join(' ')}
       ${resumed ? `and (c.name, c.id) > ($${used.length + 6}, $${used.length + 7})` : ''}
     order by c.name, c.id limit $5`,
  )

const likeText = (part: string) => `%${part.toLowerCase().replaceAll(/[\\%_]/g, '\\$&')}%`

/** By name, from behind `after` on; one more than `limit` tells that more follow. */
export function listCustomers(
  db: Db,
  who: Who,
  list: CustomerFilter & { after: readonly [name: string, id: string] | null; limit: number },
): Promise<Customer[]> {
  const values: Record<Condition, string | undefined> = {
    name: list.name === undefined ? undefined : likeText(list.name),
    email: list.email?.toLowerCase(),
    propertyId: list.propertyId,
  }
  const used = (Object.keys(conditions) as Condition[]).filter(name => values[name] !== undefined)
  return db.rows<Customer>(listStatement(used, list.after !== null), [
    ...seen(who.actor, who.now),
    list.limit + 1,
    ...used.map(name => values[name]),
    ...(list.after ?? []),
  ])
}

const instantOrNull = (ms: number | null) => (ms === null ? null : at(ms))
const valuesOf = (customer: CustomerColumns) => [
  customer.kind,
  customer.name,
  customer.email,
  customer.phone,
  customer.street,
  customer.city,
  customer.region,
  customer.postcode,
  customer.country,
  customer.language,
  customer.preferredChannel,
  customer.note,
  instantOrNull(customer.mailsStoppedAt),
]

const insert = sql(
  'customer-insert',
  `insert into customer (id, kind, name, email, phone, street, city, region, postcode, country, language,
     preferred_channel, note, created_at, updated_at)
   select c.id, c.kind, c.name, c.email, c.phone, c.street, c.city, c.region, c.postcode, c.country, c.language,
     c."preferredChannel", c.note, $2, $2
     from jsonb_to_recordset($1::jsonb) as c(id uuid, kind text, name text, email text, phone text, street text,
       city text, region text, postcode text, country text, language text, "preferredChannel" text, note text)`,
)
export type CustomerInsert = Omit<CustomerColumns, 'mailsStoppedAt'> & { readonly id: string }
export const insertCustomers = (tx: Tx, now: number, customers: readonly CustomerInsert[]) =>
  tx.rows(insert, [JSON.stringify(customers), at(now)])

// A new address has not been refused by anybody yet.
const update = sql(
  'customer-update',
  `update customer set kind=$1, name=$2, phone=$4, street=$5, city=$6, region=$7, postcode=$8, country=$9, language=$10,
     preferred_channel=$11, note=$12, mails_stopped_at=$13, email=$3,
     mail_refused_at = case when email is distinct from $3 then null else mail_refused_at end,
     mail_refusal = case when email is distinct from $3 then null else mail_refusal end,
     version = version + 1, updated_at = $15
   where id = $14`,
)
export const updateCustomer = (tx: Tx, now: number, id: string, customer: CustomerColumns) =>
  tx.rows(update, [...valuesOf(customer), id, at(now)])

const markVoided = sql(
  'customer-void',
  `update customer set voided_at = $2, void_reason = $3, version = version + 1, updated_at = $2
    where id = any($1::uuid[]) and voided_at is null returning id, version`,
)
export const markCustomersVoided = (tx: Tx, now: number, ids: readonly string[], reason: string) =>
  tx.rows<{ id: string; version: number }>(markVoided, [ids, at(now), reason])

const ties = sql(
  'customer-ties',
  `select (select count(*)::int from around_home where customer_id = $1 and until_on is null) as homes,
     (select count(*)::int from work_party y join property p on p.id = y.property_id
       where y.customer_id = $1 and y.voided_at is null
         and (y.last_on is null or y.last_on >= ($2::timestamptz at time zone p.zone)::date)) as parts,
     (select count(*)::int from kit_out k where k.customer_id = $1 and k.returned_on is null and k.lost_on is null
         and k.unanswered) as kits`,
)
/** What holds somebody in use: homes they own or are around today, parts in work that are not over, kits that are out with them. */
export type Ties = { readonly homes: number; readonly parts: number; readonly kits: number }
export const tiesOf = async (db: Db, id: string, now: number): Promise<Ties> =>
  (await db.one<Ties>(ties, [id, at(now)]))!

const companyCountry = sql('customer-company-country', 'select country from company')
export const countryOfCompany = async (db: Db): Promise<string> =>
  (await db.one<{ country: string }>(companyCountry))?.country ?? ''
