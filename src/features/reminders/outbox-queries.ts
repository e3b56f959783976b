import type { Instant } from '../../domain/facts.ts'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import { ownerOn } from './owner-on.ts'

export const mailStates = ['waiting', 'refused', 'held', 'sent', 'dropped'] as const
export type MailState = (typeof mailStates)[number]

export type MailLine = {
  readonly id: string
  readonly kind: string
  readonly state: MailState
  readonly toName: string
  readonly toAddress: string
  readonly subject: string
  readonly lastReply: string | null
  readonly attempts: number
  readonly nextAttemptAt: Instant | null
  readonly createdAt: Instant
  readonly sentAt: Instant | null
}
const columns = `m.id, m.kind, m.state, m.to_name as "toName", m.to_address as "toAddress", m.subject,
  m.last_reply as "lastReply", m.attempts, m.next_attempt_at as "nextAttemptAt", m.created_at as "createdAt",
  m.sent_at as "sentAt"`

const list = sql(
  'outbox-list',
  `select ${columns} from mail m where m.state = $1 and ($2::timestamptz is null or (m.created_at, m.id) < ($2, $3::uuid))
    order by m.created_at desc, m.id desc limit $4`,
)
/** Mails in one state, newest first; one more than `limit` tells that more follow. */
export const mailsIn = (db: Db, state: MailState, after: readonly [number, string] | null, limit: number) =>
  db.rows<MailLine>(list, [state, after ? at(after[0]) : null, after?.[1] ?? null, limit + 1])

const counts = sql('outbox-counts', 'select state, count(*)::int as mails from mail group by state')
export const mailCounts = async (db: Db): Promise<Partial<Record<MailState, number>>> =>
  Object.fromEntries((await db.rows<{ state: MailState; mails: number }>(counts)).map(row => [row.state, row.mails]))

export type KeptMailView = MailLine & {
  readonly textBody: string
  readonly htmlBody: string
  readonly customerId: string | null
  /** The home each link in it is of. */
  readonly links: Readonly<Record<string, string>>
}
const one = sql(
  'outbox-mail',
  `select ${columns}, m.customer_id as "customerId", m.text_body as "textBody", m.html_body as "htmlBody",
     (select coalesce(json_object_agg(l.id, l.property_id), '{}') from homeowner_link l
       where l.customer_id = m.customer_id and l.created_at = m.created_at) as links
   from mail m where m.id = $1`,
)
export const readMail = (db: Db, id: string) => db.one<KeptMailView>(one, [id])

const told = sql(
  'outbox-result-told',
  `select customer_id as "customerId", about_id as "testId" from mail where id = $1 and kind = 'result'`,
)
/** Whom a mail tells a result, and of which test; null where it tells none. */
export const resultToldBy = (db: Db, id: string) => db.one<{ customerId: string; testId: string | null }>(told, [id])

// A mail that goes again goes to the address that is known today.
const readdress = sql(
  'outbox-readdress',
  `update mail m set to_address = c.email from customer c
    where m.id = $1 and c.id = m.customer_id and c.email is not null and m.state in ('refused', 'held', 'dropped')`,
)
export const readdressMail = (tx: Tx, id: string) => tx.rows(readdress, [id])

const failed = sql('outbox-failed', `select id from mail where state = 'refused' order by created_at limit 500`)
export const failedMails = async (db: Db): Promise<string[]> =>
  (await db.rows<{ id: string }>(failed)).map(row => row.id)

export type DueToday = {
  readonly propertyId: string
  readonly address: string
  readonly kind: string
  readonly dueOn: string
  readonly owner: string | null
  readonly email: string | null
}
const dueToday = sql(
  'outbox-due-today',
  `select p.id as "propertyId", o.kind, o.due_on as "dueOn", u.name as owner,
     case when u.mails_stopped_at is null and u.mail_refused_at is null then u.email end as email,
     p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address
   from obligation o join property p on p.id = o.property_id left join customer u on u.id = ${ownerOn('$1')}
   where o.next_remind_at <= $2 and o.fulfilled_at is null and o.owed_by = 'homeowner' and p.voided_at is null
     and not exists (select 1 from held_home h where h.property_id = p.id)
   order by o.next_remind_at, o.id limit 500`,
)
/** What would be reminded of up to an instant, and whom it would reach. */
export const dueUntil = (db: Db, now: Instant, until: Instant) => db.rows<DueToday>(dueToday, [at(now), at(until)])

export type HeldByImport = { readonly importId: string; readonly fileName: string; readonly homes: number }
const heldByImports = sql(
  'outbox-held-by-imports',
  `select h.import_id as "importId", b.file_name as "fileName", count(*)::int as homes
     from held_home h join property p on p.id = h.property_id and p.voided_at is null
       join import_batch b on b.id = h.import_id group by h.import_id, b.file_name, b.created_at
    order by b.created_at desc`,
)
/** Imports whose homes nobody has released yet: none of their reminders goes out. */
export const heldImports = (db: Db) => db.rows<HeldByImport>(heldByImports)

export type Release = { readonly releasedAt: Instant | null; readonly cap: number; readonly version: number }
const release = sql(
  'outbox-release',
  'select reminders_released_at as "releasedAt", daily_mail_cap as cap, version from company',
)
export const readRelease = (db: Db) => db.one<Release>(release)
