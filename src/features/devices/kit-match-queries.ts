import type { KitMethod } from '../../domain/devices/kit-facts.ts'
import type { KitCandidate } from '../../domain/devices/match-kit.ts'
import type { LocalDay, TestPurpose } from '../../domain/facts.ts'
import { seen, seenSql } from '../../platform/auth/seen.ts'
import { type Db, sql } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'

/** A kit by its number, with what a test of it is made from and the test that names it already. */
export type NumberedKit = KitCandidate & {
  readonly id: string | null
  readonly lotName: string
  readonly method: KitMethod
  readonly address: string
  readonly zone: string
  readonly locationId: string | null
  readonly purpose: TestPurpose
  readonly exposedFrom: LocalDay | null
  readonly exposedTo: LocalDay | null
  readonly postedOn: LocalDay | null
  readonly testId: string | null
  readonly exposureId: string | null
}

const byNumber = sql(
  'kits-by-number',
  `select o.id, o.number, o.device_id as "deviceId", d.method, o.property_id as "propertyId", p.zone,
     trim(coalesce(nullif(d.model, ''), 'kit') || ' ' || coalesce(d.lot, '')) as "lotName",
     p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address,
     o.location_id as "locationId", o.purpose, o.exposed_from as "exposedFrom", o.exposed_to as "exposedTo",
     o.posted_on as "postedOn", o.test_id as "testId", o.exposure_id as "exposureId",
     not o.unanswered or o.returned_on is not null as answered
   from kit_out o join device d on d.id = o.device_id join property p on p.id = o.property_id
  where lower(o.number) = any($1::text[]) and p.voided_at is null and ${seenSql('o.property_id', 2)}
  order by o.number, o.left_on, o.device_id`,
)
/** Every kit that left the shop under one of these numbers, at homes this caller may see. */
export const kitsByNumber = (db: Db, who: Pick<Act, 'actor' | 'now'>, numbers: readonly string[]) =>
  db.rows<NumberedKit>(byNumber, [numbers.map(number => number.toLowerCase()), ...seen(who.actor, who.now)])
