import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import type { AroundHome } from './rows.ts'

const peopleOfHome = sql(
  'property-people',
  `select a.id, a.customer_id as "customerId", c.name, c.email, c.phone, a.role, a.from_on as "fromOn",
     a.until_on as "untilOn", a.from_edtf as roughly, a.version
   from around_home a join customer c on c.id = a.customer_id where a.property_id = $1
   order by a.role = 'owner' desc, a.until_on desc nulls first, a.from_on desc nulls last, a.id`,
)
/** Everyone around a home, owners first, today's before former ones. */
export const readPeople = (db: Db, propertyId: string) => db.rows<AroundHome>(peopleOfHome, [propertyId])

// Whoever is being merged into another just now is waited for, and is then not there.
const customerExists = sql(
  'property-customer-exists',
  'select id from customer where id = $1 and voided_at is null for key share',
)
export const isCustomer = async (db: Db, customerId: string): Promise<boolean> =>
  (await db.one(customerExists, [customerId])) !== null

const byEmail = sql(
  'property-customer-by-email',
  'select id from customer where lower(email) = lower($1) and voided_at is null order by id limit 1',
)
/** The customer who has this mail address, the longest known first; null when nobody has. */
export const customerByEmail = async (db: Db, email: string): Promise<string | null> =>
  (await db.one<{ id: string }>(byEmail, [email]))?.id ?? null

const insertOwner = sql(
  'property-insert-owner',
  `insert into ownership (id, property_id, customer_id, from_on, from_edtf, created_at)
   select o.id, o."propertyId", o."customerId", o."fromOn", o.roughly, $2
     from jsonb_to_recordset($1::jsonb)
       as o(id uuid, "propertyId" uuid, "customerId" uuid, "fromOn" date, roughly text)`,
)
export type OwnershipInsert = {
  readonly id: string
  readonly propertyId: string
  readonly customerId: string
  readonly fromOn: string | null
  readonly roughly: string | null
}
export const insertOwnerships = (tx: Tx, now: number, rows: readonly OwnershipInsert[]) =>
  tx.rows(insertOwner, [JSON.stringify(rows), at(now)])

const endOwner = sql(
  'property-end-owner',
  'update ownership set until_on = $2, version = version + 1 where id = $1 returning version',
)
/** Ends an ownership on the day before which it last held (half-open, like a date range), and gives its version. */
export const endOwnership = async (tx: Tx, id: string, untilOn: string): Promise<number> =>
  (await tx.one<{ version: number }>(endOwner, [id, untilOn]))?.version ?? 0

const voidOwner = sql(
  'property-void-owner',
  `update ownership set voided_at = $2, version = version + 1 where id = any($1::uuid[]) and voided_at is null
   returning id, property_id as "propertyId", version`,
)
export type Voided = { readonly id: string; readonly propertyId: string; readonly version: number }
export const voidOwnerships = (tx: Tx, ids: readonly string[], now: number) =>
  tx.rows<Voided>(voidOwner, [ids, at(now)])

const revokeLinks = sql(
  'property-revoke-links',
  `update homeowner_link set revoked_at = $3 where property_id = $1 and customer_id = $2 and revoked_at is null
   returning id`,
)
/** Closes a former owner's ways in; gives how many there were. */
export const revokeLinksOf = async (tx: Tx, propertyId: string, customerId: string, now: number): Promise<number> =>
  (await tx.rows(revokeLinks, [propertyId, customerId, at(now)])).length

const insertPersonRow = sql(
  'property-insert-person',
  `insert into property_person (id, property_id, customer_id, role, from_on, until_on, created_at)
   select i.id, i."propertyId", i."customerId", i.role, i."fromOn", i."untilOn", $2
     from jsonb_to_recordset($1::jsonb)
       as i(id uuid, "propertyId" uuid, "customerId" uuid, role text, "fromOn" date, "untilOn" date)`,
)
export type PersonInsert = Omit<OwnershipInsert, 'roughly'> & { readonly role: string; readonly untilOn: string | null }
export const insertPersons = (tx: Tx, now: number, rows: readonly PersonInsert[]) =>
  tx.rows(insertPersonRow, [JSON.stringify(rows), at(now)])

const voidPersonRows = sql(
  'property-void-people',
  `update property_person set voided_at = $2, version = version + 1 where id = any($1::uuid[]) and voided_at is null
   returning id, property_id as "propertyId", version`,
)
export const voidPersons = (tx: Tx, ids: readonly string[], now: number) =>
  tx.rows<Voided>(voidPersonRows, [ids, at(now)])

const endPersonRow = sql(
  'property-end-person',
  `update property_person set until_on = $3, version = version + 1
    where id = $1 and property_id = $2`,
)
export const endPersonOn = (tx: Tx, id: string, propertyId: string, untilOn: string) =>
  tx.rows(endPersonRow, [id, propertyId, untilOn])
