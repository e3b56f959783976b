import type { KitFacts, KitMethod } from '../../domain/devices/kit-facts.ts'
import { seen, seenSql } from '../../platform/auth/seen.ts'
import { type Db, sql } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'

type Who = Pick<Act, 'actor' | 'now'>

/** Who is asked at a home: the person a kit was left with, or its owner. */
export type Asked = { readonly person: string | null; readonly phone: string | null }

/** A kit out of the shop, by its own record or by the test that names it; `id` is null where it has none of its own. */
export type KitLine = KitFacts &
  Asked & {
    readonly id: string | null
    readonly deviceId: string
    readonly lotName: string
    readonly method: KitMethod
    readonly propertyId: string
    readonly address: string
    readonly zone: string
    readonly testId: string | null
  }

const owner = `left join lateral (select c.name, c.phone from ownership w join customer c on c.id = w.customer_id
     where w.property_id = p.id and w.voided_at is null and w.until_on is null
     order by w.from_on desc nulls last limit 1) owner on true`
const address = `p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address`
const kitLine = `select o.id, o.device_id as "deviceId", o.number, d.method, d.expires_on as "lotExpiresOn",
  trim(coalesce(nullif(d.model, ''), 'kit') || ' ' || coalesce(d.lot, '')) as "lotName",
  o.property_id as "propertyId", ${address}, p.zone, o.test_id as "testId", o.left_on as "leftOn",
  o.exposed_from as "exposedFrom", o.exposed_to as "exposedTo", o.posted_on as "postedOn",
  o.answered_on as "answeredOn", o.returned_on as "returnedOn", o.lost_on as "lostOn",
  coalesce(c.name, nullif(o.left_with, ''), owner.name) as person,
  case when c.id is null then owner.phone else c.phone end as phone
 from kit_out o join device d on d.id = o.device_id join property p on p.id = o.property_id
   left join customer c on c.id = o.customer_id ${owner}`

const unsettled = sql(
  'kits-unsettled',
  `${kitLine} where o.unanswered and o.returned_on is null and d.voided_at is null and p.voided_at is null
     and d.method <> 'continuous-monitor' and ${seenSql('o.property_id', 1)}
   order by o.left_on, o.number limit 5000`,
)
/** Every kit that is out, awaited or lost. */
export const kitsUnsettled = (db: Db, who: Who) => db.rows<KitLine>(unsettled, seen(who.actor, who.now))

const ofLot = sql(
  'kits-of-lot',
  `${kitLine} where o.device_id = $1 and ${seenSql('o.property_id', 2)} order by o.left_on desc, o.number limit 500`,
)
/** The kits of a lot that left the shop, those left last first. */
export const kitsOfLot = (db: Db, who: Who, deviceId: string) =>
  db.rows<KitLine>(ofLot, [deviceId, ...seen(who.actor, who.now)])

const ofHome = sql(
  'kits-of-home',
  `${kitLine} where o.property_id = $1 and ${seenSql('o.property_id', 2)} order by o.left_on desc, o.number limit 200`,
)
/** The kits that were left or set at a home, the newest first. */
export const kitsOfHome = (db: Db, who: Who, propertyId: string) =>
  db.rows<KitLine>(ofHome, [propertyId, ...seen(who.actor, who.now)])

const asked = sql(
  'chase-asked',
  `select p.id, ${address}, owner.name as person, owner.phone from property p ${owner} where p.id = any($1::uuid[])`,
)
export type AskedHome = Asked & { readonly id: string; readonly address: string }
/** Homes that this caller may see already, each with whom to ask there. */
export const askedAt = (db: Db, propertyIds: readonly string[]) => db.rows<AskedHome>(asked, [propertyIds])
