import type { z } from 'zod'
import type { Instant } from '../../domain/facts.ts'
import { seen, seenSql } from '../../platform/auth/seen.ts'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import { listStatement } from '../../platform/db/list-statement.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { notFound } from '../../platform/http/problem.ts'
import type { visitOutcome, visitPurpose } from './schemas.ts'

type Who = Pick<Act, 'actor' | 'now'>

export type VisitColumns = {
  purpose: z.output<typeof visitPurpose>
  startsAt: Instant
  endsAt: Instant | null
  callbackId: string | null
  testId: string | null
  instructions: string
  outcome: z.output<typeof visitOutcome>
  outcomeNote: string
  arrivedAt: Instant | null
  doneAt: Instant | null
}
export type VisitRow = VisitColumns & {
  id: string
  propertyId: string
  zone: string
  country: string
  address: string
  accessNote: string
  gateCode: string
  dogNote: string
  crew: { id: string; name: string }[]
  version: number
  createdAt: Instant
  updatedAt: Instant
  voidedAt: Instant | null
  voidReason: string | null
}

const visible = (n: number) => seenSql('v.property_id', n)

const columns = `v.id, v.property_id as "propertyId", v.purpose, v.starts_at as "startsAt", v.ends_at as "endsAt",
  v.callback_id as "callbackId", v.test_id as "testId", v.instructions, v.outcome, v.outcome_note as "outcomeNote",
  v.arrived_at as "arrivedAt", v.done_at as "doneAt", v.version, v.created_at as "createdAt", v.updated_at as "updatedAt",
  v.voided_at as "voidedAt", v.void_reason as "voidReason", p.zone, p.country,
  p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address,
  p.access_note as "accessNote", p.gate_code as "gateCode", p.dog_note as "dogNote",
  (select coalesce(json_agg(json_build_object('id', s.id, 'name', s.name) order by s.name), '[]')
     from visit_crew w join staff s on s.id = w.staff_id where w.visit_id = v.id) as crew`

const byId = sql(
  'visit-by-id',
  `select ${columns} from visit v join property p on p.id = v.property_id where v.id = $1 and ${visible(2)}`,
)
/** The visit, or the 404 it shares with those that are not this actor's. */
export async function readVisit(db: Db, who: Who, visitId: string): Promise<VisitRow> {
  const visit = await db.one<VisitRow>(byId, [visitId, ...seen(who.actor, who.now)])
  if (!visit) throw notFound('visit')
  return visit
}

const lock = sql(
  'visit-lock',
  `select v.id from visit v where v.id = $1 and v.voided_at is null and ${visible(2)} for update`,
)
/** Locks a visit that is to be changed and reads it; a voided one is not there to change. */
export async function lockVisit(tx: Tx, act: Act, visitId: string): Promise<VisitRow> {
  if (!(await tx.one(lock, [visitId, ...seen(act.actor, act.now)]))) throw notFound('visit')
  return readVisit(tx, act, visitId)
}

type VisitFilter = { readonly propertyId?: string; readonly before?: string }
const list = listStatement<VisitFilter>(
  'visit-list',
  { limit: 1, taken: 5 },
  { propertyId: n => `v.property_id = $${n}`, before: n => `v.id < $${n}` },
  filters => `select ${columns} from visit v join property p on p.id = v.property_id
    where ${visible(2)} ${filters} order by v.id desc`,
)
/** Newest first, keyset by id; one more than `limit` tells that more follow. */
export function listVisits(db: Db, who: Who, { limit, ...filter }: VisitFilter & { readonly limit: number }) {
  const { statement, values } = list(filter)
  return db.rows<VisitRow>(statement, [limit + 1, ...seen(who.actor, who.now), ...values])
}

const between = sql(
  'visit-between',
  `select ${columns} from visit v join property p on p.id = v.property_id
    where v.starts_at >= $1 and v.starts_at < $2 and v.voided_at is null
      and ($3::uuid is null or exists (select 1 from visit_crew w where w.visit_id = v.id and w.staff_id = $3))
      and ${visible(4)}
    order by v.starts_at, v.id limit 200`,
)
/** Visits that start in [from, to), one person's when `staffId` is given, in order of the day. */
export const visitsBetween = (db: Db, who: Who, span: { from: Instant; to: Instant; staffId: string | null }) =>
  db.rows<VisitRow>(between, [at(span.from), at(span.to), span.staffId, ...seen(who.actor, who.now)])

const instantOrNull = (ms: number | null) => (ms === null ? null : at(ms))
const values = (visit: VisitColumns) => [
  visit.purpose,
  at(visit.startsAt),
  instantOrNull(visit.endsAt),
  visit.callbackId,
  visit.testId,
  visit.instructions,
  visit.outcome,
  visit.outcomeNote,
  instantOrNull(visit.arrivedAt),
  instantOrNull(visit.doneAt),
]

const insert = sql(
  'visit-insert',
  `insert into visit (purpose, starts_at, ends_at, callback_id, test_id, instructions, outcome, outcome_note, arrived_at,
     done_at, id, property_id, created_at, updated_at)
   values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $13)`,
)
export const insertVisit = (tx: Tx, now: number, visit: VisitColumns & { id: string; propertyId: string }) =>
  tx.rows(insert, [...values(visit), visit.id, visit.propertyId, at(now)])

const update = sql(
  'visit-update',
  `update visit set purpose = $1, starts_at = $2, ends_at = $3, callback_id = $4, test_id = $5, instructions = $6,
     outcome = $7, outcome_note = $8, arrived_at = $9, done_at = $10, version = version + 1, updated_at = $12 where id = $11`,
)
export const updateVisit = (tx: Tx, now: number, visitId: string, visit: VisitColumns) =>
  tx.rows(update, [...values(visit), visitId, at(now)])

const markVoided = sql(
  'visit-void',
  'update visit set voided_at = $2, void_reason = $3, version = version + 1, updated_at = $2 where id = $1',
)
export const markVisitVoided = (tx: Tx, now: number, visitId: string, reason: string) =>
  tx.rows(markVoided, [visitId, at(now), reason])

const unassign = sql('visit-unassign', 'delete from visit_crew where visit_id = $1 and staff_id <> all($2::uuid[])')
const assign = sql(
  'visit-assign',
  `insert into visit_crew (visit_id, staff_id, assigned_at) select $1, i, $3 from unnest($2::uuid[]) i
   on conflict do nothing`,
)
/** Makes these people, and only these, the visit's crew; those who stay keep the day they were assigned. */
export async function assignCrew(tx: Tx, now: number, visitId: string, staffIds: readonly string[]): Promise<void> {
  await tx.rows(unassign, [visitId, staffIds])
  await tx.rows(assign, [visitId, staffIds, at(now)])
}

const strangers = sql(
  'visit-strangers',
  `select 'crew' as kind, i as id from unnest($2::uuid[]) i
     where not exists (select 1 from staff s where s.id = i and s.disabled_at is null)
   union all select 'callbackId', i from unnest($3::uuid[]) i
     where not exists (select 1 from callback c where c.id = i and c.property_id = $1 and c.voided_at is null)
   union all select 'testId', i from unnest($4::uuid[]) i
     where not exists (select 1 from test t where t.id = i and t.property_id = $1 and t.voided_at is null)`,
)
/** What a visit names and is not there, or not of this home. */
export const visitStrangers = (
  tx: Tx,
  propertyId: string,
  ids: { crew: readonly string[]; callbacks: readonly string[]; tests: readonly string[] },
) => tx.rows<{ kind: string; id: string }>(strangers, [propertyId, ids.crew, ids.callbacks, ids.tests])
