import type { z } from 'zod'
import type { Instant, LocalDay } from '../../domain/facts.ts'
import { seen, seenSql } from '../../platform/auth/seen.ts'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import { listStatement } from '../../platform/db/list-statement.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { notFound } from '../../platform/http/problem.ts'
import type { kitMethod, kitPurpose } from './kit-schemas.ts'

type Who = Pick<Act, 'actor' | 'now'>

/** What somebody said of a kit, as the table holds it. */
export type KitColumns = {
  number: string
  purpose: z.output<typeof kitPurpose>
  locationId: string | null
  customerId: string | null
  leftWith: string
  leftOn: LocalDay
  exposedFrom: LocalDay | null
  exposedTo: LocalDay | null
  postedOn: LocalDay | null
  returnedOn: LocalDay | null
  lostOn: LocalDay | null
  note: string
}
export type KitRow = KitColumns & {
  id: string
  deviceId: string
  method: z.output<typeof kitMethod>
  lotExpiresOn: LocalDay | null
  propertyId: string
  address: string
  zone: string
  country: string
  version: number
  createdAt: Instant
  updatedAt: Instant
  voidedAt: Instant | null
  voidReason: string | null
  /** What the test says that names this kit, for days that the kit's own row leaves open. */
  test: {
    id: string
    exposedFrom: LocalDay | null
    exposedTo: LocalDay | null
    postedOn: LocalDay | null
    answeredOn: LocalDay | null
  } | null
}

const columns = `k.id, k.device_id as "deviceId", d.method, d.expires_on as "lotExpiresOn", k.number,
  k.property_id as "propertyId", p.zone, p.country,
  p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address,
  k.location_id as "locationId", k.customer_id as "customerId", k.left_with as "leftWith", k.purpose,
  k.left_on as "leftOn", k.exposed_from as "exposedFrom", k.exposed_to as "exposedTo", k.posted_on as "postedOn",
  k.returned_on as "returnedOn", k.lost_on as "lostOn", k.note, k.version, k.created_at as "createdAt",
  k.updated_at as "updatedAt", k.voided_at as "voidedAt", k.void_reason as "voidReason",
  (select case when o.test_id is null then null else json_build_object('id', o.test_id, 'exposedFrom', o.exposed_from,
      'exposedTo', o.exposed_to, 'postedOn', o.posted_on, 'answeredOn', o.answered_on) end
     from kit_out o where o.id = k.id) as test`
const from = 'kit k join device d on d.id = k.device_id join property p on p.id = k.property_id'

const byId = sql('kit-by-id', `select ${columns} from ${from} where k.id = $1 and ${seenSql('k.property_id', 2)}`)
/** The kit, or the 404 it shares with those of homes that are not this actor's. */
export async function readKit(db: Db, who: Who, kitId: string): Promise<KitRow> {
  const kit = await db.one<KitRow>(byId, [kitId, ...seen(who.actor, who.now)])
  if (!kit) throw notFound('kit')
  return kit
}

type KitFilter = { readonly propertyId?: string; readonly deviceId?: string; readonly before?: string }
const list = listStatement<KitFilter>(
  'kit-list',
  { limit: 1, taken: 5 },
  {
    propertyId: n => `k.property_id = $${n}`,
    deviceId: n => `k.device_id = $${n}`,
    before: n => `k.id < $${n}`,
  },
  filters => `select ${columns} from ${from} where ${seenSql('k.property_id', 2)} ${filters} order by k.id desc`,
)
/** Newest first, keyset by id; one more than `limit` tells that more follow. */
export function listKits(db: Db, who: Who, { limit, ...filter }: KitFilter & { readonly limit: number }) {
  const { statement, values } = list(filter)
  return db.rows<KitRow>(statement, [limit + 1, ...seen(who.actor, who.now), ...values])
}

const lock = sql(
  'kit-lock',
  `select k.id from kit k where k.id = $1 and k.voided_at is null and ${seenSql('k.property_id', 2)} for update`,
)
/** Locks a kit that is to be changed and reads it; a voided one is not there to change. */
export async function lockKit(tx: Tx, act: Act, kitId: string): Promise<KitRow> {
  if (!(await tx.one(lock, [kitId, ...seen(act.actor, act.now)]))) throw notFound('kit')
  return readKit(tx, act, kitId)
}

const lockMany = sql(
  'kit-lock-many',
  `select k.id from kit k where k.id = any($1::uuid[]) and ${seenSql('k.property_id', 2)} order by k.id for update`,
)
/** Holds kits that are about to be answered, in id order. */
export const lockKits = (tx: Tx, act: Act, kitIds: readonly string[]) =>
  tx.rows(lockMany, [kitIds, ...seen(act.actor, act.now)])

const lot = sql(
  'kit-lot-lock',
  `select d.expires_on as "expiresOn", d.method, d.kit_count as "kitCount" from device d
    where d.id = $1 and d.kind = 'kit-lot' and d.voided_at is null for no key update`,
)
/** Holds the lot a kit comes from; null where it is none. */
export const heldLot = (tx: Tx, deviceId: string) =>
  tx.one<{ expiresOn: LocalDay | null; method: string; kitCount: number | null }>(lot, [deviceId])

const sameNumber = sql(
  'kit-same-number',
  `select k.id from kit k where k.device_id = $1 and lower(k.number) = lower($2) and k.voided_at is null and k.id <> $3`,
)
/** Whether another kit of the lot has this number. */
export const numberTaken = async (tx: Tx, deviceId: string, number: string, kitId: string): Promise<boolean> =>
  (await tx.one(sameNumber, [deviceId, number, kitId])) !== null

const strangers = sql(
  'kit-strangers',
  `select 'locationId' as field where $2::uuid is not null and not exists (select from test_location l
       where l.id = $2 and l.property_id = $1 and l.voided_at is null)
   union all select 'customerId' where $3::uuid is not null and not exists (select from around_home a
       where a.customer_id = $3 and a.property_id = $1)`,
)
/** The references of a kit that point at nothing of its home. */
export const kitStrangers = async (
  tx: Tx,
  propertyId: string,
  kit: Pick<KitColumns, 'locationId' | 'customerId'>,
): Promise<string[]> =>
  (await tx.rows<{ field: string }>(strangers, [propertyId, kit.locationId, kit.customerId])).map(row => row.field)

const values = (kit: KitColumns) => [
  kit.number,
  kit.purpose,
  kit.locationId,
  kit.customerId,
  kit.leftWith,
  kit.leftOn,
  kit.exposedFrom,
  kit.exposedTo,
  kit.postedOn,
  kit.returnedOn,
  kit.lostOn,
  kit.note,
]

const insert = sql(
  'kit-insert',
  `insert into kit (number, purpose, location_id, customer_id, left_with, left_on, exposed_from, exposed_to, posted_on,
     returned_on, lost_on, note, id, device_id, property_id, created_at, updated_at)
   values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $16)`,
)
export const insertKit = (
  tx: Tx,
  now: number,
  kit: KitColumns & { id: string; deviceId: string; propertyId: string },
) => tx.rows(insert, [...values(kit), kit.id, kit.deviceId, kit.propertyId, at(now)])

const update = sql(
  'kit-update',
  `update kit set number = $1, purpose = $2, location_id = $3, customer_id = $4, left_with = $5, left_on = $6,
     exposed_from = $7, exposed_to = $8, posted_on = $9, returned_on = $10, lost_on = $11, note = $12,
     version = version + 1, updated_at = $14 where id = $13`,
)
export const updateKit = (tx: Tx, now: number, kitId: string, kit: KitColumns) =>
  tx.rows(update, [...values(kit), kitId, at(now)])

const markVoided = sql(
  'kit-void',
  'update kit set voided_at = $2, void_reason = $3, version = version + 1, updated_at = $2 where id = $1',
)
export const markKitVoided = (tx: Tx, now: number, kitId: string, reason: string) =>
  tx.rows(markVoided, [kitId, at(now), reason])
