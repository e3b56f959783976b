import type { ComparedQuantity, LevelRef, VerdictOutcome } from '../../domain/answers.ts'
import type { Instant, LocalDay } from '../../domain/facts.ts'
import { at, sql, type Tx } from '../../platform/db/client.ts'
import { ownerOn } from './owner-on.ts'

/** What a reminder says about one thing owed at one home. */
export type OwedAtHome = {
  readonly noticeId: string
  readonly kind: string
  readonly dueOn: LocalDay
  readonly recommended: boolean
  readonly because: readonly { readonly text: string }[]
  readonly propertyId: string
  readonly address: string
  /** What is known of the home's radon; null before its first standing. */
  readonly verdict: Known | null
}
export type Known = {
  readonly outcome: VerdictOutcome
  readonly compared: ComparedQuantity | null
  readonly level: LevelRef | null
}
/** A rung that has just been claimed: its notice is written, nobody else will write it. */
export type ClaimedNotice = OwedAtHome & {
  /** null: no owner is on record today. */
  readonly customerId: string | null
  readonly customerName: string
  readonly email: string | null
  readonly preferredChannel: string
  readonly mailsStopped: boolean
  readonly addressRefused: boolean
  /** They said on their page that the home is theirs no more, and nobody has dismissed it. */
  readonly saysMoved: boolean
}

// Said in this way the planner expects most homes to be inside their hours. Expecting next to none, as it does of a plain
// comparison, it reads and sorts all that is due where the first of it would do.
const inWindow = `nullif(extract(hour from $1 at time zone p.zone) >= c.send_from_hour
    and extract(hour from $1 at time zone p.zone) < c.send_to_hour, false) is not null`
const isDue = `o.next_remind_at <= $1 and o.fulfilled_at is null and o.owed_by = 'homeowner' and p.voided_at is null
    and not exists (select 1 from held_home h where h.property_id = o.property_id) and ${inWindow}`

/** People a transaction takes: few enough that nobody waits long for it. */
export const peopleAtOnce = 200

// Read in the order of the index and only so far: however many are due, a batch looks at the first of them, enough to pass
// over the people whom somebody else holds just now.
const firstDue = `select o.id, o.next_remind_at, ${ownerOn('$1')} as owner
    from obligation o join property p on p.id = o.property_id cross join company c
   where ${isDue} order by o.next_remind_at, o.id limit ${2 * peopleAtOnce}`

/**
 * People first: whoever holds a person's row holds all that is due to them, so that one person's homes share a mail
 * however many processes sweep. SKIP LOCKED lets the others go on with the next person.
 */
const holdPeople = sql(
  'reminders-hold-people',
  `with first as materialized (${firstDue}),
   held as (
     select u.id from customer u join (
        select f.owner as id, min(f.next_remind_at) as first from first f group by 1) d on d.id = u.id
      order by d.first, u.id limit $2 for update of u skip locked)
   select array(select id from held) as people, array(select id from first where owner is null) as ownerless`,
)

/** People who are held, and what of the first that is due belongs to nobody on record. */
export type Held = { readonly people: readonly string[]; readonly ownerless: readonly string[] }

/** Holds up to `limit` people, those waiting longest first, to whom something is due inside the sending hours of their homes. */
export const holdPeopleDue = async (tx: Tx, now: Instant, limit: number): Promise<Held> =>
  (await tx.one<Held>(holdPeople, [at(now), limit]))!

/**
 * Claims in one statement: of the rungs that have passed, the newest becomes a notice to send and the older ones are
 * marked skipped (a month of silence sends one mail, not four); the obligation points at its next rung.
 * The unique key (obligation, rung, round) makes a second claim impossible. A home that somebody is writing to is left
 * for the next sweep: its lock is never waited for, so that no writer and no sweep can stand in each other's way.
 * What a notice says is read by key, because `due` would be read through for each; it is read again before the mail goes.
 */
const claim = sql(
  'reminders-claim',
  `with due as (
     select o.id, o.round, o.remind_at, o.kind, o.due_on, o.recommended, o.because, o.property_id,
            owner.customer_id
       from obligation o join property p on p.id = o.property_id cross join company c
         left join lateral ${ownerOn('$1')} owner on true
      where ${isDue} and (owner.customer_id = any($2::uuid[]) or owner.customer_id is null)
        and o.id = any(array(
          select b.id from ownership w join obligation b on b.property_id = w.property_id where w.customer_id = any($2::uuid[])
          union all select unnest($3::uuid[])))
      for update of o skip locked for share of p skip locked),
   passed as (
     select d.id as obligation_id, d.round, r.rung::int, r.at, row_number() over (partition by d.id order by r.rung desc) as newest
       from due d, unnest(d.remind_at) with ordinality r(at, rung)
      where r.at <= $1 and not exists
        (select 1 from notice n where n.obligation_id = d.id and n.round = d.round and n.rung = r.rung)),
   written as (
     insert into notice (id, obligation_id, rung, round, customer_id, state, reason, claimed_at, settled_at)
     select gen_random_uuid(), q.obligation_id, q.rung, q.round, d.customer_id,
            case when q.newest = 1 then 'claimed' else 'skipped' end,
            case when q.newest > 1 then 'a later reminder had come due'
                 when q.at <= $1 - interval '1 day' then 'late by ' || extract(day from $1 - q.at) || ' days' end,
            $1, case when q.newest > 1 then $1 end
       from passed q join due d on d.id = q.obligation_id
     on conflict (obligation_id, rung, round) do nothing
     returning id, obligation_id, rung, state, customer_id),
   pointed as (
     update obligation o set next_remind_at = (select min(r.at) from unnest(o.remind_at) r(at) where r.at > $1)
       from due d where d.id = o.id)
   select w.id as "noticeId", o.kind, o.due_on as "dueOn", o.recommended, o.because, p.id as "propertyId",
     p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as address,
     s.body::jsonb -> 'verdict' as verdict,
     w.customer_id as "customerId", coalesce(u.name, '') as "customerName", u.email,
     coalesce(u.preferred_channel, '') as "preferredChannel",
     u.mails_stopped_at is not null as "mailsStopped", u.mail_refused_at is not null as "addressRefused",
     exists (select 1 from homeowner_report h where h.property_id = p.id and h.customer_id = w.customer_id
        and h.kind = 'moved' and h.state = 'new') as "saysMoved"
   from written w join obligation o on o.id = w.obligation_id join property p on p.id = o.property_id
     left join customer u on u.id = w.customer_id left join standing s on s.property_id = p.id
   where w.state = 'claimed' order by w.customer_id, address, o.due_on, o.id`,
)

/** Claims what is due to these people, and what is due at homes of which no owner is known. */
export const claimDue = (tx: Tx, now: Instant, { people, ownerless }: Held) =>
  tx.rows<ClaimedNotice>(claim, [at(now), people, ownerless])
