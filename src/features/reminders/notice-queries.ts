import type { Instant } from '../../domain/facts.ts'
import { at, sql, type Tx } from '../../platform/db/client.ts'
import type { OwedAtHome } from './claim.ts'
import { ownerOn } from './owner-on.ts'

export type NoticeState = 'sent' | 'dropped' | 'unreachable' | 'refused' | 'queued'

const settle = sql(
  'reminders-settle',
  `update notice set state = $2, reason = coalesce($3, reason), settled_at = $4 where id = any($1::uuid[])`,
)
/** Closes notices with how they ended, and why. */
export const settleNotices = (
  tx: Tx,
  ids: readonly string[],
  state: NoticeState,
  reason: string | null,
  now: Instant,
) => tx.rows(settle, [ids, state, reason, at(now)])

const attach = sql(
  'reminders-attach',
  `update notice n set state = $3, mail_id = i.mail
     from unnest($1::uuid[], $2::uuid[]) as i(notice, mail) where n.id = i.notice`,
)
/** Says which mail carries each notice. */
export const attachMails = (tx: Tx, pairs: readonly { noticeId: string; mailId: string }[], held: boolean) =>
  tx.rows(attach, [pairs.map(pair => pair.noticeId), pairs.map(pair => pair.mailId), held ? 'held' : 'queued'])

const hold = sql(
  'reminders-hold-queued',
  `update notice n set state = 'held' from mail m where m.id = n.mail_id and m.state = 'held' and n.state = 'queued'`,
)
/** Says of notices whose mails are held that they are. */
export const holdQueuedNotices = (tx: Tx) => tx.rows(hold)

/** A notice in a mail that is about to go, with why it should go no more, and the link of its home. */
export type CarriedNotice = OwedAtHome & {
  readonly mailId: string
  readonly state: string
  readonly why: string | null
  readonly linkId: string | null
}

const holdHomes = sql(
  'reminders-hold-homes',
  `select p.id from property p where p.id in (select o.property_id from notice n join obligation o on o.id = n.obligation_id
     where n.mail_id = any($1::uuid[])) order by p.id for share`,
)
/** Holds the homes that mails are about: whoever writes a sale or a test of them just now is waited for, in the order of all writers. */
export const holdHomesOf = (tx: Tx, mailIds: readonly string[]) => tx.rows(holdHomes, [mailIds])

const carried = sql(
  'reminders-carried',
  `with held as materialized (select n.id as "noticeId", n.mail_id as "mailId", n.state, o.id, o.kind, o.due_on as "dueOn", o.recommended, o.because, p.id as "propertyId",
     p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address,
     s.body::jsonb -> 'verdict' as verdict,
     (select l.id from homeowner_link l where l.property_id = p.id and l.customer_id = n.customer_id
        and l.created_at = m.created_at order by l.id limit 1) as "linkId",
     case when u.voided_at is not null or u.mails_stopped_at is not null then 'They asked for no more mails.'
          when ${ownerOn('$2')} is distinct from n.customer_id then 'The home has changed hands.'
          when p.voided_at is not null then 'The home was taken out of the records.'
          when o.fulfilled_at is not null then 'It has been done in the meantime.'
          when o.round <> n.round or o.remind_at[n.rung] is null or o.remind_at[n.rung] > $2 then 'Its day has moved.'
          when exists (select 1 from homeowner_report h where h.property_id = p.id and h.customer_id = n.customer_id
             and h.kind = 'moved' and h.state = 'new') then 'They say that they moved.' end as why
     from notice n join mail m on m.id = n.mail_id join obligation o on o.id = n.obligation_id
     join property p on p.id = o.property_id join customer u on u.id = n.customer_id
     left join standing s on s.property_id = p.id
    where n.mail_id = any($1::uuid[]) and n.state in ('queued', 'held', 'refused', 'dropped')
    order by o.id, n.id for update of n, o)
   select "noticeId", "mailId", state, kind, "dueOn", recommended, because, "propertyId", address, verdict, "linkId", why
     from held order by address, "dueOn", id`,
)
/** The notices of mails as things are now, held until the transaction ends; the caller holds their homes. */
export const carriedNotices = (tx: Tx, mailIds: readonly string[], now: Instant) =>
  tx.rows<CarriedNotice>(carried, [mailIds, at(now)])

const giveBackMoved = sql(
  'reminders-give-back',
  `with gone as (delete from notice where id = any($1::uuid[]) returning obligation_id)
   update obligation o set next_remind_at =
       (select min(r.at) from unnest(o.remind_at) with ordinality r(at, rung) where not exists (select 1 from notice n
          where n.obligation_id = o.id and n.round = o.round and n.rung = r.rung and not n.id = any($1::uuid[])))
     from gone where o.id = gone.obligation_id and o.fulfilled_at is null`,
)
/** A rung that was never sent and whose day now lies ahead is open again. */
export const giveBack = (tx: Tx, noticeIds: readonly string[]) => tx.rows(giveBackMoved, [noticeIds])

// Two sweeps never count the same allowance: the second waits until the first has committed.
const oneAtATime = sql('reminders-allowance-lock', `select pg_advisory_xact_lock(hashtext('underslab reminders'))`)
const sentToday = sql(
  'reminders-sent-today',
  `select c.daily_mail_cap as cap, c.reminders_released_at is not null as released,
     (select count(*)::int from mail m where m.kind = 'reminder' and m.state <> 'dropped'
        and m.created_at >= (date_trunc('day', $1 at time zone c.zone) at time zone c.zone) and m.created_at <= $1) as sent
   from company c`,
)
/** How many more reminder mails may be written today, by the company's own day; null while reminders are paused. */
export async function reminderAllowance(tx: Tx, now: Instant): Promise<number | null> {
  await tx.rows(oneAtATime)
  const company = await tx.one<{ sent: number; cap: number; released: boolean }>(sentToday, [at(now)])
  return company?.released ? Math.max(0, company.cap - company.sent) : null
}
