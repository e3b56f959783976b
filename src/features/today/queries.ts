import type { Instant, LocalDay, TestPurpose } from '../../domain/facts.ts'
import { seen, seenSql } from '../../platform/auth/seen.ts'
import { at, type Db, sql } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'

type Who = Pick<Act, 'actor' | 'now'>

/** What every line of the ledger says about the home it is of. */
type OfHome = { propertyId: string; address: string; owner: string | null; zone: string }

export type OwedLine = OfHome & {
  kind: string
  causeId: string
  earliestOn: LocalDay | null
  dueOn: LocalDay
  recommended: boolean
  owedBy: 'homeowner' | 'company'
  because: { text: string }[]
  /** How far the homeowner has been reminded of it. */
  reminded: { state: string; at: Instant | null } | null
  testId: string | null
  plannedVisitAt: Instant | null
}
export type ReviewLine = OfHome & {
  testId: string
  purpose: TestPurpose
  method: string
  resultInAt: Instant
  outcome: string
}
export type CallbackLine = OfHome & {
  callbackId: string
  number: number
  complaint: string
  reportedAt: Instant
  plannedVisitAt: Instant | null
}
export type ReportLine = OfHome & { reportId: string; kind: string; receivedAt: Instant }
export type UnassignedLine = OfHome & { visitId: string; purpose: string; startsAt: Instant }
export type FailedMailLine = {
  mailId: string
  kind: string
  toName: string
  toAddress: string
  subject: string
  lastReply: string | null
  at: Instant
}

const ofHome = `p.id as "propertyId", p.zone,
  p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address,
  (select c.name from ownership o join customer c on c.id = o.customer_id
    where o.property_id = p.id and o.voided_at is null and o.until_on is null order by o.from_on desc nulls last limit 1) as owner`

const nextVisit = (condition: string) => `(select min(v.starts_at) from visit v
    where v.property_id = p.id and v.voided_at is null and v.done_at is null and v.starts_at >= $1 and ${condition})`

const owed = sql(
  'today-owed',
  `select ${ofHome}, o.kind, o.cause_id as "causeId", o.earliest_on as "earliestOn", o.due_on as "dueOn", o.recommended,
     o.owed_by as "owedBy", o.because,
     (select t.id from test t where t.id = o.cause_id) as "testId",
     (select json_build_object('state', n.state, 'at', (extract(epoch from coalesce(n.settled_at, n.claimed_at)) * 1000)::bigint)
        from notice n where n.obligation_id = o.id and n.round = o.round and n.state <> 'skipped'
        order by n.rung desc limit 1) as reminded,
     ${nextVisit('true')} as "plannedVisitAt"
   from obligation o join property p on p.id = o.property_id
   where o.fulfilled_at is null and o.due_at < $2 and p.voided_at is null and ${seenSql('o.property_id', 4)}
   order by o.due_at, o.id limit $3`,
)
/** What is owed up to a day, soonest first: retests, tests, work, devices to pick up, laboratory answers. */
export const owedUntil = (db: Db, who: Who, until: Instant, limit: number) =>
  db.rows<OwedLine>(owed, [at(who.now), at(until), limit, ...seen(who.actor, who.now)])

const toReview = sql(
  'today-to-review',
  `select ${ofHome}, t.id as "testId", t.purpose, t.method, t.result_in_at as "resultInAt",
     coalesce(v.body::jsonb ->> 'outcome', v.body::jsonb ->> 'validity', 'undetermined') as outcome
   from test t join property p on p.id = t.property_id left join test_evaluation v on v.test_id = t.id
   where t.result_in_at is not null and t.accepted_at is null and t.voided_at is null and p.voided_at is null
     and ${seenSql('t.property_id', 2)}
   order by t.result_in_at, t.id limit $1`,
)
/** Results nobody at the office has looked at yet, oldest first. */
export const resultsToReview = (db: Db, who: Who, limit: number) =>
  db.rows<ReviewLine>(toReview, [limit, ...seen(who.actor, who.now)])

const openCallbacks = sql(
  'today-callbacks',
  `select ${ofHome}, c.id as "callbackId", c.number, c.complaint, c.reported_at as "reportedAt",
     ${nextVisit('v.callback_id = c.id')} as "plannedVisitAt"
   from callback c join property p on p.id = c.property_id
   where c.closed_at is null and c.voided_at is null and p.voided_at is null and ${seenSql('c.property_id', 3)}
   order by c.reported_at, c.id limit $2`,
)
/** Callbacks that are still open, oldest first. */
export const callbacksOpen = (db: Db, who: Who, limit: number) =>
  db.rows<CallbackLine>(openCallbacks, [at(who.now), limit, ...seen(who.actor, who.now)])

const newReports = sql(
  'today-reports',
  `select ${ofHome}, r.id as "reportId", r.kind, r.received_at as "receivedAt"
   from homeowner_report r join property p on p.id = r.property_id
   where r.state = 'new' and ${seenSql('r.property_id', 2)} order by r.received_at, r.id limit $1`,
)
/** What homeowners sent and nobody has taken up yet, oldest first. */
export const reportsToTakeUp = (db: Db, who: Who, limit: number) =>
  db.rows<ReportLine>(newReports, [limit, ...seen(who.actor, who.now)])

const unassigned = sql(
  'today-unassigned',
  `select ${ofHome}, v.id as "visitId", v.purpose, v.starts_at as "startsAt"
   from visit v join property p on p.id = v.property_id
   where v.voided_at is null and v.outcome = '' and p.voided_at is null
     and not exists (select 1 from visit_crew w where w.visit_id = v.id) and ${seenSql('v.property_id', 2)}
   order by v.starts_at, v.id limit $1`,
)
/** Visits that were asked for or planned and that nobody goes to yet, soonest first. */
export const visitsUnassigned = (db: Db, who: Who, limit: number) =>
  db.rows<UnassignedLine>(unassigned, [limit, ...seen(who.actor, who.now)])

const failedMails = sql(
  'today-failed-mails',
  `select m.id as "mailId", m.kind, m.to_name as "toName", m.to_address as "toAddress", m.subject,
     m.last_reply as "lastReply", coalesce(m.first_tried_at, m.created_at) as at
   from mail m where m.state = 'refused' order by m.created_at desc limit $1`,
)
/** Mails a server refused for good, newest first; for the office only. */
export const mailsRefused = (db: Db, limit: number) => db.rows<FailedMailLine>(failedMails, [limit])

export type CredentialLine = {
  credentialId: string
  holder: string | null
  kind: 'licence' | 'certificate'
  issuer: string
  number: string
  expiresOn: LocalDay
}
const expiring = sql(
  'today-credentials',
  `select c.id as "credentialId", s.name as holder, c.kind, c.issuer, c.number, c.expires_on as "expiresOn"
   from company o, credential c left join staff s on s.id = c.staff_id
   where c.voided_at is null and s.disabled_at is null
     and c.expires_on <= ($1::timestamptz at time zone o.zone)::date + o.credential_warning_days
   order by c.expires_on, c.id`,
)
/** Licences and certificates that run out within the days the company chose, and those that have; for the office only. */
export const credentialsExpiring = (db: Db, now: Instant) => db.rows<CredentialLine>(expiring, [at(now)])

const beingRecomputed = sql('today-stale', 'select 1 from standing where stale_since is not null limit 1')
/** Whether some standings are being worked out anew at this moment. */
export const someBeingRecomputed = async (db: Db) => (await db.one(beingRecomputed)) !== null
