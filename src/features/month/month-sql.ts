import { seenSql } from '../../platform/auth/seen.ts'
import { epochMs, sql } from '../../platform/db/client.ts'

const inPlace = `c.kind = 'fan' and c.voided_at is null and c.removed_at is null and c.removed_edtf is null`
const driven = 's.voided_at is null and s.active'

/** The rough dates that fans in place have: few, however many fans there are. */
export const roughFanDates = sql(
  'month-rough-dates',
  `select distinct c.installed_edtf as edtf from system_component c join system s on s.id = c.system_id
    where ${inPlace} and ${driven} and c.installed_at is null and c.installed_edtf is not null`,
)

// $5 last day of the month, $6 the last day of a fan's coming in that counts, $7 rough dates that surely count, $8 those
// that may, $9 those nobody can read, $10 today, $11 the kind that is asked for.
const reach = `case when c.installed_at is not null then
      case when (c.installed_at at time zone h.zone)::date <= $6::date then 'reached' end
    when c.installed_edtf is null or c.installed_edtf = any($9::text[]) then 'unknown'
    when c.installed_edtf = any($7::text[]) then 'reached'
    when c.installed_edtf = any($8::text[]) then 'may-be' end`
/** What stands on the list, of every home or of the one an SQL expression names. */
const itemsOf = (home: string) => `
  select o.property_id, 'retest' as kind, o.cause_id, o.due_on, null as reach, null::timestamptz as in_at, null as in_edtf
    from obligation o where ($11::text is null or $11 = 'retest') and o.kind = 'retest' and o.fulfilled_at is null
      and o.due_on <= $5::date ${home ? `and o.property_id = ${home}` : ''}
  union all
  select f.* from (select s.property_id, 'fan', c.id, null::date, ${reach} as reach, c.installed_at, c.installed_edtf
      from system_component c join system s on s.id = c.system_id join property h on h.id = s.property_id
      where ($11::text is null or $11 = 'fan') and ${inPlace} and ${driven} ${home ? `and s.property_id = ${home}` : ''}) f
    where f.reach is not null`

const planned = `v.voided_at is null and v.outcome = '' and v.starts_at >= $10::date - interval '1 day'`
// Somebody goes there for a callback and the retest is owed all the same: such a visit is told, and does not count.
const serves = `v.purpose not in ('bid', 'pick-up-device', 'callback', 'diagnostics')`
const putOff = `r.kind = 'put-off' and r.voided_at is null and r.back_on > $5::date`
const called = `r.kind = 'called' and r.voided_at is null`

// A home whose fans' age nobody knows is a group of its own: it is not due, and it is not said to be not due. The sets are
// asked with "in", which the database hashes: joined, it takes them for smaller than they are and goes through them anew
// for every home.
const homes = `
  select p.id, p.city, p.postcode, p.street, i.maybe,
    case when i.unknown then 'fan-unknown' when p.id in (select b.property_id from booked b) then 'booked'
         when i.put_off then 'put-off' when p.id in (select k.property_id from called k where k.back_on > $10::date) then 'called'
         else 'open' end as state
  from (select property_id, bool_and(coalesce(reach, '') = 'unknown') as unknown, bool_or(reach = 'may-be') as maybe,
          bool_and(coalesce(reach, '') = 'unknown' or cause_id in (select u.cause from put_off u)) as put_off
        from item group by property_id) i join property p on p.id = i.property_id
  where ${seenSql('p.id', 1)} and p.voided_at is null and ($12::text is null or p.region = $12)
    and ($13::text is null or lower(p.city) like $13 or lower(p.postcode) like $13) and ($14::uuid is null or p.id = $14)`

const shown = `select h.* from home h where ($15::text is null and h.state <> 'fan-unknown' or h.state = $15)
    and ($17::text is null or (h.city, h.postcode, h.street, h.id) > ($17, $18, $19, $20::uuid))
  order by h.city, h.postcode, h.street, h.id limit $16`

const people = `(select coalesce(json_agg(json_build_object('name', c.name, 'roles', a.roles, 'phone', c.phone, 'email', c.email,
      'preferredChannel', c.preferred_channel, 'language', c.language, 'mailsStopped', c.mails_stopped_at is not null)
      order by c.phone is null, 'owner' = any(a.roles) desc, c.name), '[]')
    from (select w.customer_id, array_agg(distinct w.role) as roles from around_home w where w.property_id = p.id
        and w.role in ('owner', 'co-owner', 'occupant', 'tenant', 'property-manager')
        and (w.from_on is null or w.from_on <= $10::date) and (w.until_on is null or w.until_on > $10::date)
      group by w.customer_id) a join customer c on c.id = a.customer_id)`

/**
 * One month's list in one statement: every home that owes a retest, or whose running fan has reached the age, with how far
 * it has come; the counts of all of them, and one page with whom to call.
 */
export const monthList = sql(
  'month-list',
  `with item as materialized (${itemsOf('')}),
     booked as materialized (select v.property_id from visit v where ${planned} and ${serves}),
     called as materialized (select distinct on (r.property_id) r.property_id, r.back_on from outreach r where ${called}
       order by r.property_id, r.at desc, r.id desc),
     put_off as materialized (select k.cause from outreach r, unnest(r.causes) k(cause) where ${putOff}),
     home as materialized (${homes}), shown as materialized (${shown})
   select
     (select json_build_object('open', count(*) filter (where h.state = 'open'), 'called', count(*) filter (where h.state = 'called'),
        'booked', count(*) filter (where h.state = 'booked'), 'putOff', count(*) filter (where h.state = 'put-off'),
        'fanUnknown', count(*) filter (where h.state = 'fan-unknown'),
        'maybe', count(*) filter (where h.maybe and h.state <> 'put-off')) from home h) as counts,
     (select coalesce(json_agg(json_build_object('id', p.id, 'street', p.street, 'unit', p.unit, 'city', p.city,
        'region', p.region, 'postcode', p.postcode, 'country', p.country, 'zone', p.zone, 'state', h.state,
        'items', (select json_agg(json_build_object('kind', i.kind, 'causeId', i.cause_id, 'dueOn', i.due_on, 'reach', i.reach,
             'installed', json_build_object('at', ${epochMs('i.in_at')}, 'edtf', i.in_edtf)) order by i.kind desc, i.due_on, i.cause_id)
           from (${itemsOf('p.id')}) i),
        'people', case when $21 then ${people} else '[]'::json end,
        'visit', (select json_build_object('visitId', v.id, 'startsAt', ${epochMs('v.starts_at')}, 'purpose', v.purpose, 'serves', ${serves})
           from visit v where ${planned} and v.property_id = p.id order by not ${serves}, v.starts_at, v.id limit 1),
        'called', (select json_build_object('id', r.id, 'outcome', r.outcome, 'backOn', r.back_on, 'at', ${epochMs('r.at')},
             'note', r.note, 'by', coalesce(w.name, '')) from outreach r left join staff w on w.id = r.staff_id
           where r.property_id = p.id and ${called} order by r.at desc, r.id desc limit 1),
        'putOff', (select json_build_object('id', r.id, 'backOn', r.back_on, 'note', r.note) from outreach r
           where r.property_id = p.id and ${putOff} order by r.back_on desc, r.id desc limit 1),
        'held', exists (select from held_home r where r.property_id = p.id),
        'openCallbacks', (select count(*) from callback b where b.property_id = p.id and b.voided_at is null and b.closed_at is null))
        order by h.city, h.postcode, h.street, h.id), '[]')
      from shown h join property p on p.id = h.id) as homes`,
)
