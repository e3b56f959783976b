import type { Instant, LocalDay } from '../../domain/facts.ts'
import { at, sql, type Tx } from '../../platform/db/client.ts'

/** A rung that has just been claimed: its notice is written, nobody else will write it. */
export type ClaimedNotice = {
  noticeId: string
  obligationId: string
  kind: string
  rung: number
  dueOn: LocalDay
  recommended: boolean
  because: { text: string }[]
  propertyId: string
  address: string
  zone: string
  customerId: string
  customerName: string
  email: string | null
  language: string
  mailsStopped: boolean
  addressRefused: boolean
}

// The owner of today, by the home's own calendar.
const ownerToday = `(select w.customer_id from ownership w
    where w.property_id = p.id and w.voided_at is null
      and (w.from_on is null or w.from_on <= ($1 at time zone p.zone)::date)
      and (w.until_on is null or w.until_on > ($1 at time zone p.zone)::date)
    order by w.from_on desc nulls last limit 1)`

const inWindow = `extract(hour from $1 at time zone p.zone) >= c.send_from_hour
    and extract(hour from $1 at time zone p.zone) < c.send_to_hour`

/**
 * People first: whoever holds a person's row holds all that is due to them, so that one person's homes share a mail
 * however many processes sweep. SKIP LOCKED lets the others go on with the next person.
 */
const holdPeople = sql(
  'reminders-hold-people',
  `select c.id from customer c where c.id in (
      select ${ownerToday} from obligation o join property p on p.id = o.property_id cross join company c
       where o.next_remind_at <= $1 and o.fulfilled_at is null and o.owed_by = 'homeowner' and p.voided_at is null
         and ${inWindow} order by o.next_remind_at limit $2)
    order by c.id for update skip locked`,
)

/** Holds up to `limit` people to whom something is due inside the sending hours of their homes. */
export const holdPeopleDue = async (tx: Tx, now: Instant, limit: number): Promise<string[]> =>
  (await tx.rows<{ id: string }>(holdPeople, [at(now), limit])).map(row => row.id)

/**
 * Claims in one statement: of the rungs that have passed, the newest becomes a notice to send and the older ones are
 * marked skipped (a month of silence sends one mail, not four); the obligation points at its next rung.
 * The unique key (obligation, rung, round) makes a second claim impossible.
 */
const claim = sql(
  'reminders-claim',
  `with due as (
     select o.id, o.round, o.remind_at, o.kind, o.due_on, o.recommended, o.because, o.property_id, ${ownerToday} as customer_id
       from obligation o join property p on p.id = o.property_id cross join company c
      where o.next_remind_at <= $1 and o.fulfilled_at is null and o.owed_by = 'homeowner' and p.voided_at is null
        and ${inWindow} and (${ownerToday} = any($2::uuid[]) or ($3 and ${ownerToday} is null))
      for update of o skip locked),
   passed as (
     select d.id as obligation_id, d.round, r.rung::int, row_number() over (partition by d.id order by r.rung desc) as newest
       from due d, unnest(d.remind_at) with ordinality r(at, rung)
      where r.at <= $1 and not exists
        (select 1 from notice n where n.obligation_id = d.id and n.round = d.round and n.rung = r.rung)),
   written as (
     insert into notice (id, obligation_id, rung, round, customer_id, state, claimed_at, settled_at)
     select gen_random_uuid(), q.obligation_id, q.rung, q.round, d.customer_id,
            case when q.newest = 1 then 'claimed' else 'skipped' end, $1, case when q.newest = 1 then null else $1 end
       from passed q join due d on d.id = q.obligation_id
     on conflict (obligation_id, rung, round) do nothing
     returning id, obligation_id, rung, state, customer_id),
   pointed as (
     update obligation o set next_remind_at =
         (select min(r.at) from unnest(o.remind_at) r(at) where r.at > $1)
       from due d where d.id = o.id)
   select w.id as "noticeId", d.id as "obligationId", d.kind, w.rung, d.due_on as "dueOn", d.recommended, d.because,
     p.id as "propertyId", p.zone, p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address,
     w.customer_id as "customerId", u.name as "customerName", u.email, u.language,
     u.mails_stopped_at is not null as "mailsStopped", u.mail_refused_at is not null as "addressRefused"
   from written w join due d on d.id = w.obligation_id join property p on p.id = d.property_id
     left join customer u on u.id = w.customer_id
   where w.state = 'claimed' order by w.customer_id, d.due_on, d.id`,
)

/** Claims what is due to these people, and, when asked, what is due at homes whose owner is unknown. */
export const claimDue = (tx: Tx, now: Instant, people: readonly string[], ownerless: boolean) =>
  tx.rows<ClaimedNotice>(claim, [at(now), people, ownerless])

const settle = sql(
  'reminders-settle',
  `update notice set state = $2, reason = $3, settled_at = $4 where id = any($1::uuid[])`,
)
/** Closes notices with how they ended: sent, dropped, unreachable, refused, held. */
export const settleNotices = (tx: Tx, ids: readonly string[], state: string, reason: string | null, now: Instant) =>
  tx.rows(settle, [ids, state, reason, at(now)])

const attach = sql(
  'reminders-attach',
  `update notice n set state = 'queued', mail_id = i.mail
     from unnest($1::uuid[], $2::uuid[]) as i(notice, mail) where n.id = i.notice`,
)
/** Says which mail carries each notice. */
export const attachMails = (tx: Tx, pairs: readonly { noticeId: string; mailId: string }[]) =>
  tx.rows(attach, [pairs.map(pair => pair.noticeId), pairs.map(pair => pair.mailId)])

const wanted = sql(
  'reminders-still-wanted',
  `select n.id, o.fulfilled_at is null and o.round = n.round
       and u.mails_stopped_at is null and u.mail_refused_at is null
       and exists (select 1 from ownership w join property p on p.id = w.property_id
          where w.property_id = o.property_id and w.customer_id = n.customer_id and w.voided_at is null
            and (w.until_on is null or w.until_on > ($2 at time zone p.zone)::date)) as wanted
     from notice n join obligation o on o.id = n.obligation_id join customer u on u.id = n.customer_id
    where n.mail_id = $1 and n.state = 'queued' for update of n`,
)
/** The notices a mail carries, each with whether its reason still holds: not met, not moved, not stopped. */
export const noticesOf = (tx: Tx, mailId: string, now: Instant) =>
  tx.rows<{ id: string; wanted: boolean }>(wanted, [mailId, at(now)])

const sentToday = sql(
  'reminders-sent-today',
  `select count(*)::int as sent, c.daily_mail_cap as cap, c.reminders_released_at is not null as released
     from company c left join mail m on m.kind = 'reminder'
       and m.created_at >= (date_trunc('day', $1 at time zone c.zone) at time zone c.zone)
    group by c.id`,
)
/** Whether reminders are released, and how many more may go out today by the company's own day. */
export async function reminderAllowance(tx: Tx, now: Instant): Promise<number> {
  const company = await tx.one<{ sent: number; cap: number; released: boolean }>(sentToday, [at(now)])
  return company?.released ? Math.max(0, company.cap - company.sent) : 0
}
