import type { MonitorFacts } from '../domain/devices/monitor-facts.ts'
import { seen, seenSql } from '../platform/auth/seen.ts'
import { at, type Db, epochMs, sql, type Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'

type Who = Pick<Act, 'actor' | 'now'>

const home = (property: string) =>
  `case when ${seenSql(`${property}.id`, 3)} then ${property}.street
     || case when ${property}.unit = '' then '' else ', ' || ${property}.unit end || ', ' || ${property}.city end`

// Tests under way are few, so they are gathered once and not sought through each monitor's years of exposures.
const facts = sql(
  'monitor-facts',
  `with stay as materialized (
     select x.device_id, t.id, t.property_id, t.set_at, string_agg(distinct l.name, ', ') as room
       from test t join exposure x on x.test_id = t.id left join test_location l on l.id = x.location_id
      where t.result_in_at is null and t.voided_at is null and t.set_at is not null and t.picked_up_at is null
        and x.device_id is not null and x.voided_at is null
      group by x.device_id, t.id)
   select d.id as "deviceId", d.retired_at as "retiredAt", coalesce((select zone from company), 'UTC') as zone,
     trim(coalesce(nullif(d.model, ''), 'Radon monitor') || ' ' || coalesce(d.serial, '')) as name,
     (select coalesce(json_agg(json_build_object('calibratedOn', c.calibrated_on, 'validUntil', c.valid_until)
          order by c.calibrated_on, c.id), '[]')
        from calibration c where c.device_id = d.id and c.voided_at is null) as calibrations,
     (select coalesce(json_agg(json_build_object('testId', s.id, 'propertyId', p.id, 'home', ${home('p')}, 'zone', p.zone,
          'room', coalesce(s.room, ''), 'since', ${epochMs('s.set_at')},
          'visitAt', (select ${epochMs('min(v.starts_at)')} from visit v
             where v.property_id = p.id and v.purpose = 'pick-up-device' and v.outcome = '' and v.done_at is null
               and v.voided_at is null and (v.test_id is null or v.test_id = s.id) and v.starts_at >= s.set_at))
          order by s.set_at, s.id), '[]')
        from stay s join property p on p.id = s.property_id where s.device_id = d.id) as stays,
     (select coalesce(json_agg(json_build_object('id', b.id, 'propertyId', p.id, 'home', ${home('p')},
          'from', ${epochMs('b.from_at')}, 'until', ${epochMs('b.until_at')}) order by b.from_at, b.id), '[]')
        from device_booking b join property p on p.id = b.property_id
       where b.device_id = d.id and b.voided_at is null and b.ended_at is null and b.until_at > $2
         and not ${spentBooking('b')}) as bookings,
     (select coalesce(json_agg(json_build_object('id', a.id, 'kind', a.kind, 'fromOn', a.from_on,
          'expectedBackOn', a.expected_back_on, 'backOn', a.back_on, 'place', a.place) order by a.from_on, a.id), '[]')
        from device_absence a where a.device_id = d.id and a.voided_at is null
         and (a.back_on is null or a.back_on > $2::timestamptz::date - 400)) as absences
   from device d
  where d.kind = 'monitor' and d.voided_at is null and ($1::uuid[] is null or d.id = any($1))
  order by d.retired_at is not null, d.serial, d.id`,
)

/** Whether a booking's test has been and gone: the monitor was set at its home within it, or a day before, and taken up again. */
export function spentBooking(booking: string): string {
  return `exists (select from test t join exposure x on x.test_id = t.id
     where t.property_id = ${booking}.property_id and t.voided_at is null and x.device_id = ${booking}.device_id
       and x.voided_at is null and t.set_at >= ${booking}.from_at - interval '1 day' and t.set_at < ${booking}.until_at
       and (t.picked_up_at is not null or t.result_in_at is not null))`
}

/** What tells where monitors are, all of them or these; addresses only of homes this actor may see. One statement. */
export const monitorFacts = (db: Db, who: Who, deviceIds: readonly string[] | null = null): Promise<MonitorFacts[]> =>
  db.rows<MonitorFacts>(facts, [deviceIds, at(who.now), ...seen(who.actor, who.now)])

const lock = sql(
  'monitor-lock',
  `select id from device where id = any($1::uuid[]) and kind = 'monitor' order by id for no key update`,
)
/** Holds monitors, so that of two who want one at once the second sees what the first did, and gives their facts. */
export async function heldMonitors(tx: Tx, who: Who, deviceIds: readonly string[]): Promise<MonitorFacts[]> {
  const held = await tx.rows<{ id: string }>(lock, [deviceIds])
  return held.length === 0
    ? []
    : monitorFacts(
        tx,
        who,
        held.map(({ id }) => id),
      )
}
