import type { z } from 'zod'
import type { WrittenAddress } from '../../domain/address/address-key.ts'
import type { Instant, When } from '../../domain/facts.ts'
import { seen, seenSql } from '../../platform/auth/seen.ts'
import { type Db, sql } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { notFound } from '../../platform/http/problem.ts'
import { type BaselineRow, baselineSql } from '../../standing/baseline.ts'
import type { complaint } from './schemas.ts'
import { type NearHome, type Unit, unitsOf } from './units-of-building.ts'

export type CallPerson = {
  readonly customerId: string
  readonly name: string
  /** All their parts around the home: an owner who lives there is one line. */
  readonly roles: readonly string[]
  readonly phone: string | null
  readonly email: string | null
  readonly preferredChannel: 'email' | 'phone' | 'letter'
  readonly language: string
  readonly mailsStopped: boolean
}
export type CallSystem = {
  readonly id: string
  readonly tag: string | null
  readonly type: string
  readonly active: boolean
  readonly installedBy: string
  readonly installerName: string
  readonly gauge: boolean
  readonly firstStart: When | null
  readonly fan: { readonly model: string; readonly place: string; readonly installed: When } | null
  readonly baseline: BaselineRow | null
  readonly last: { readonly value: string; readonly unit: string; readonly at: Instant } | null
}
export type CallVisit = {
  readonly id: string
  readonly purpose: string
  readonly startsAt: Instant
  readonly instructions: string
  readonly crew: readonly string[]
}
export type CallHome = {
  readonly id: string
  readonly street: string
  readonly unit: string
  readonly town: string
  readonly zone: string
  readonly country: string
  /** What a crew must know at the door; null for whoever is not sent there. */
  readonly access: { readonly accessNote: string; readonly gateCode: string; readonly dogNote: string } | null
  readonly accessNoted: boolean
  readonly people: readonly CallPerson[]
  readonly systems: readonly CallSystem[]
  readonly visits: readonly CallVisit[]
  readonly wishes: readonly { readonly id: string; readonly kind: string; readonly receivedAt: Instant }[]
  readonly open: readonly {
    readonly id: string
    readonly number: number
    readonly complaint: z.output<typeof complaint>
    readonly reportedAt: Instant
    readonly reportedBy: string
    readonly description: string
  }[]
  readonly units: readonly Unit[]
}

const ms = (column: string) => `(extract(epoch from ${column}) * 1000)::bigint`
const list = (fields: string, from: string, order: string) =>
  `(select coalesce(json_agg(json_build_object(${fields}) order by ${order}), '[]') from ${from})`
const inPlace = (kind: string) =>
  `system_component c where c.system_id = s.id and c.kind = '${kind}' and c.voided_at is null
     and c.removed_at is null and c.removed_edtf is null`
const reading = (role: string) =>
  `(select json_build_object('value', g.value, 'unit', g.unit, 'at', ${ms('g.at')}) from gauge_reading g
     where g.system_id = s.id and g.voided_at is null and g.role in (${role}) order by g.at desc, g.id desc limit 1)`

const systems = list(
  `'id', s.id, 'tag', s.tag, 'type', s.type, 'active', s.active, 'installedBy', s.installed_by, 'installerName', s.installer_name,
   'gauge', exists (select from ${inPlace('gauge')}) or exists (select from gauge_reading g where g.system_id = s.id and g.voided_at is null),
   'firstStart', (select json_build_object('at', ${ms('e.at')}, 'edtf', e.edtf) from system_event e
      where e.system_id = s.id and e.kind = 'first-start' and e.voided_at is null order by e.at desc nulls last limit 1),
   'fan', (select json_build_object('model', c.model, 'place', c.place, 'installed',
        json_build_object('at', ${ms('c.installed_at')}, 'edtf', c.installed_edtf)) from ${inPlace('fan')}
      order by c.installed_at desc nulls last, c.id desc limit 1),
   'baseline', ${baselineSql('s.id')},
   'last', ${reading(`'visit', 'reported'`)}`,
  'system s where s.property_id = p.id and s.voided_at is null',
  's.active desc, s.id',
)
const people = list(
  `'customerId', c.id, 'name', c.name, 'roles', a.roles, 'phone', c.phone, 'email', c.email,
   'preferredChannel', c.preferred_channel, 'language', c.language, 'mailsStopped', c.mails_stopped_at is not null`,
  `(select h.customer_id, array_agg(distinct h.role) as roles from around_home h where h.property_id = p.id
       and (h.from_on is null or h.from_on <= ($2 at time zone p.zone)::date)
       and (h.until_on is null or h.until_on > ($2 at time zone p.zone)::date) group by h.customer_id) a
     join customer c on c.id = a.customer_id`,
  `a.roles && '{occupant,tenant}' desc, 'owner' = any(a.roles) desc, c.name, c.id`,
)
const goesThere = `exists (select from visit v join visit_crew k on k.visit_id = v.id
  where v.property_id = p.id and v.voided_at is null and v.outcome = '' and k.staff_id = $3)`
const visits = list(
  `'id', v.id, 'purpose', v.purpose, 'startsAt', ${ms('v.starts_at')}, 'instructions', v.instructions,
   'crew', (select coalesce(json_agg(w.name order by w.name), '[]') from visit_crew k join staff w on w.id = k.staff_id
      where k.visit_id = v.id)`,
  `visit v where v.property_id = p.id and v.voided_at is null and v.outcome = ''`,
  'v.starts_at',
)
const open = list(
  `'id', b.id, 'number', b.number, 'complaint', b.complaint, 'reportedAt', ${ms('b.reported_at')},
   'reportedBy', b.reported_by, 'description', b.description`,
  'callback b where b.property_id = p.id and b.voided_at is null and b.closed_at is null',
  'b.reported_at desc',
)
const houseOf = (home: string) =>
  `ltrim(coalesce(substring(lower(${home}.street) from '[0-9][a-z0-9/]*'), split_part(lower(${home}.street), ' ', 1)), '0')`
// Homes with one house number in one town; which of them are this building is for the domain to say.
const units = list(
  `'id', n.id, 'street', n.street, 'unit', n.unit, 'city', n.city, 'region', n.region, 'postcode', n.postcode,
   'owner', coalesce((select c.name from around_home a join customer c on c.id = a.customer_id
       where a.property_id = n.id and a.role = 'owner' and a.until_on is null limit 1), '')`,
  `property n where ${houseOf('n')} = ${houseOf('p')} and n.voided_at is null
     and (lower(n.city) = lower(p.city) or n.postcode <> '' and left(n.postcode, 5) = left(p.postcode, 5))`,
  'n.id',
)

const call = sql(
  'callback-call',
  `select p.id, p.street, p.unit, p.city, p.region, p.postcode, concat_ws(', ', p.city, nullif(btrim(p.region || ' ' || p.postcode), ''), p.country) as town,
     p.zone, p.country,
     case when ${goesThere} then json_build_object('accessNote', p.access_note, 'gateCode', p.gate_code, 'dogNote', p.dog_note) end as access,
     p.access_note || p.gate_code || p.dog_note <> '' as "accessNoted",
     ${people} as people, ${systems} as systems, ${visits} as visits, ${open} as open, ${units} as units,
     ${list(
       `'id', r.id, 'kind', r.kind, 'receivedAt', ${ms('r.received_at')}`,
       `homeowner_report r where r.property_id = p.id and r.state = 'new'`,
       'r.received_at desc',
     )} as wishes
   from property p where p.id = $1 and p.voided_at is null and ${seenSql('p.id', 4)}`,
)
type CallRow = Omit<CallHome, 'units'> & WrittenAddress & { readonly units: readonly NearHome[] }
/** What whoever answers the phone must know of a home, in one statement; the 404 it shares with homes not seen. */
export async function readCall(db: Db, who: Pick<Act, 'actor' | 'now'>, homeId: string): Promise<CallHome> {
  const staff = who.actor.kind === 'staff' ? who.actor.id : null
  const home = await db.one<CallRow>(call, [homeId, new Date(who.now), staff, ...seen(who.actor, who.now)])
  if (!home) throw notFound('property')
  const { city, region, postcode, ...rest } = home
  return { ...rest, units: unitsOf({ ...rest, city, region, postcode }, home.units) }
}
