import type { Holiday, WorkingWeek } from '../../domain/calendar/working-hours.ts'
import type { ClosingDevice, ClosingMethod, Durations } from '../../domain/closing/closing-question.ts'
import type { Instant, LocalDay } from '../../domain/facts.ts'
import { at, type Db, epochMs, sql } from '../../platform/db/client.ts'
import { notFound } from '../../platform/http/problem.ts'

export type ClosingHome = {
  readonly id: string
  readonly address: string
  readonly zone: string
  readonly country: string
}

const home = sql(
  'closing-home',
  `select id, zone, country, street || case when unit = '' then '' else ', ' || unit end || ', ' || city as address
   from property where id = $1`,
)
/** The home that is asked about; whether the caller may see it was asked before. */
export async function closingHome(db: Db, propertyId: string): Promise<ClosingHome> {
  const found = await db.one<ClosingHome>(home, [propertyId])
  if (!found) throw notFound('property')
  return found
}

export type OfficeFacts = Durations & {
  readonly zone: string
  readonly week: WorkingWeek
  readonly holidays: readonly Holiday[]
  readonly otherVisitMinutes: number
  readonly cautionAdded: string
}
const office = sql(
  'closing-office',
  `select zone, working_week as week, holidays, install_minutes as "installMinutes", set_minutes as "setMinutes",
     pick_up_minutes as "pickUpMinutes", other_visit_minutes as "otherVisitMinutes", report_minutes as "reportMinutes",
     laboratory_days as "laboratoryDays", caution_added as "cautionAdded"
   from company`,
)
/** When the company works and how long it expects things to take. */
export async function officeFacts(db: Db): Promise<OfficeFacts> {
  const found = await db.one<OfficeFacts>(office)
  if (!found) throw notFound('company')
  return found
}

export type CrewVisits = {
  readonly id: string
  readonly name: string
  readonly visits: readonly { readonly from: Instant; readonly until: Instant | null; readonly purpose: string }[]
}
const planned = `v.voided_at is null and v.outcome = '' and v.starts_at < $2
  and coalesce(v.ends_at, v.starts_at + interval '1 day') > $1`
const crews = sql(
  'closing-crews',
  `select s.id, s.name, coalesce(json_agg(json_build_object('from', ${epochMs('v.starts_at')}, 'until',
       ${epochMs('v.ends_at')}, 'purpose', v.purpose) order by v.starts_at) filter (where v.id is not null), '[]') as visits
   from staff s left join visit_crew w on w.staff_id = s.id
     left join visit v on v.id = w.visit_id and ${planned}
   where s.disabled_at is null and ('crew' = any(s.roles)
     or not exists (select 1 from staff o where o.disabled_at is null and 'crew' = any(o.roles)))
   group by s.id order by s.name, s.id`,
)
/** Who goes on visits, with what is planned for them; where nobody is crew by role, everybody may go. */
export const crewVisits = (db: Db, from: Instant, until: Instant) => db.rows<CrewVisits>(crews, [at(from), at(until)])

const unassigned = sql(
  'closing-unassigned',
  `select count(*)::int as visits from visit v
   where ${planned} and not exists (select 1 from visit_crew w where w.visit_id = v.id)`,
)
/** Visits of that time that nobody is assigned to: they take somebody's time, and nobody knows whose. */
export const visitsUnassigned = async (db: Db, from: Instant, until: Instant): Promise<number> =>
  (await db.one<{ visits: number }>(unassigned, [at(from), at(until)]))?.visits ?? 0

type DeviceRow = { id: string; name: string; ready: boolean; goodUntil: LocalDay | null }
const booked = 'b.device_id = d.id and b.voided_at is null and b.ended_at is null'
const away = 'a.device_id = d.id and a.voided_at is null and a.back_on is null'
const devices = sql(
  'closing-devices',
  `select d.id, concat_ws(' ', nullif(d.model, ''), coalesce(d.serial, d.lot)) as name,
     d.kind = 'kit-lot' or (
       exists (select 1 from calibration c where c.device_id = d.id and c.voided_at is null)
       and not exists (select 1 from exposure x join test t on t.id = x.test_id
         where x.device_id = d.id and x.voided_at is null and t.voided_at is null and t.set_at is not null
           and t.picked_up_at is null and t.result_in_at is null)
       and not exists (select 1 from device_booking b where ${booked} and b.from_at <= $2 and b.until_at > $2)
       and not exists (select 1 from device_absence a where ${away} and a.from_on <= o.today)) as ready,
     case when d.kind = 'kit-lot' then d.expires_on else least(
       (select max(c.valid_until) from calibration c where c.device_id = d.id and c.voided_at is null),
       (select (min(b.from_at) at time zone o.zone)::date - 1 from device_booking b where ${booked} and b.from_at > $2),
       (select min(a.from_on) - 1 from device_absence a where ${away} and a.from_on > o.today)) end as "goodUntil"
   from device d, (select zone, ($2::timestamptz at time zone zone)::date as today from company) o
   where d.method = $1 and d.voided_at is null and d.retired_at is null order by name, d.id`,
)
/**
 * Devices of a method that are at hand, each until its calibration, a kit's shelf life, its next booking or absence ends
 * that; null when none is recorded at all.
 */
export async function freeDevices(
  db: Db,
  method: ClosingMethod,
  now: Instant,
): Promise<readonly ClosingDevice[] | null> {
  const rows = await db.rows<DeviceRow>(devices, [method, at(now)])
  if (rows.length === 0) return null
  return rows
    .filter(({ ready }) => ready)
    .map(({ id, name, goodUntil }) => ({ id, name: name || 'device without a name', goodUntil }))
}
