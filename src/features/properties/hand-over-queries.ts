import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'

/** Who somebody's time around a home belongs to and how long it is; a field that is left out stays. */
export type AroundChange = {
  readonly id: string
  readonly customerId?: string
  readonly propertyId?: string
  readonly fromOn?: string | null
  readonly untilOn?: string | null
  /** An instant: it never was; null: it was after all. */
  readonly voidedAt?: number | null
}
export type AroundOf = {
  readonly id: string
  readonly propertyId: string
  readonly customerId: string
  readonly role: string
  readonly fromOn: string | null
  readonly untilOn: string | null
}

const shared = sql(
  'property-around-shared',
  `select a.id, a.property_id as "propertyId", a.customer_id as "customerId", a.role, a.from_on as "fromOn", a.until_on as "untilOn"
     from around_home a where a.property_id in (select property_id from around_home where customer_id = $1) order by a.id`,
)
/** Everybody around the homes that somebody is or was around. */
export const aroundHomesOf = (db: Db, customerId: string) => db.rows<AroundOf>(shared, [customerId])

const changeStatement = (table: 'ownership' | 'property_person') =>
  sql(
    `${table}-hand-over`,
    `update ${table} a set customer_id = coalesce((c.change->>'customerId')::uuid, a.customer_id),
       property_id = coalesce((c.change->>'propertyId')::uuid, a.property_id),
       from_on = case when c.change ? 'fromOn' then (c.change->>'fromOn')::date else a.from_on end,
       until_on = case when c.change ? 'untilOn' then (c.change->>'untilOn')::date else a.until_on end,
       voided_at = case when c.change ? 'voidedAt' then to_timestamp((c.change->>'voidedAt')::bigint / 1000.0) else a.voided_at end,
       version = a.version + 1
     from jsonb_array_elements($1::jsonb) c(change) where a.id = (c.change->>'id')::uuid
     returning a.id, a.property_id as "propertyId", a.version`,
  )
const changes = { ownership: changeStatement('ownership'), property_person: changeStatement('property_person') }
export const updateAround = (tx: Tx, noun: keyof typeof changes, rows: readonly AroundChange[]) =>
  tx.rows<{ id: string; propertyId: string; version: number }>(changes[noun], [JSON.stringify(rows)])

const owners = sql(
  'property-owners-of',
  'select distinct customer_id as "customerId", property_id as "propertyId" from ownership where id = any($1::uuid[])',
)
/** Whose ownerships are, and of which homes. */
export const ownersOf = (db: Db, ids: readonly string[]) =>
  db.rows<{ customerId: string; propertyId: string }>(owners, [ids])

const revoke = sql(
  'property-revoke-strangers',
  `update homeowner_link l set revoked_at = $3
    where l.customer_id = $1 and l.property_id = any($2::uuid[]) and l.revoked_at is null
      and not exists (select from around_home a where a.customer_id = $1 and a.property_id = l.property_id and a.until_on is null)`,
)
/** Closes the ways in of somebody to homes that they are not around today. */
export const revokeLinksOfStranger = (tx: Tx, customerId: string, homes: readonly string[], now: number) =>
  tx.rows(revoke, [customerId, homes, at(now)])
