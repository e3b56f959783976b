import { at, type Db, type Statement, sql, type Tx } from '../db/client.ts'
import { leaseFor, longestWait } from './back-off.ts'
import type { KeptMail } from './message.ts'

const columns = `m.id, m.kind, m.to_address as "toAddress", m.to_name as "toName", m.customer_id as "customerId",
  m.staff_id as "staffId", m.link_id as "linkId", m.subject, m.text_body as "textBody", m.html_body as "htmlBody",
  m.message_id as "messageId", m.attempts, m.request_id as "requestId"`

// The attempt is written before a word is said to the server: what happens after may be lost with the process.
const claim = sql(
  'mail-claim',
  `with taken as (
     update mail set lease_until = $2, attempts = attempts + 1, first_tried_at = coalesce(first_tried_at, $1)
      where id in (select id from mail where state = 'waiting' and next_attempt_at <= $1
         and (lease_until is null or lease_until <= $1) order by created_at, id limit $3 for update skip locked)
      returning *)
   select ${columns} from taken m order by m.created_at, m.id`,
)
/** Takes the oldest mails that are due (a try that failed does not cost its place); no other process gets them while the lease lasts. */
export const claimMails = (tx: Tx, now: number, limit: number) =>
  tx.rows<KeptMail>(claim, [at(now), at(now + leaseFor), limit])

const unclaim = sql(
  'mail-unclaim',
  `update mail set lease_until = null, attempts = attempts - 1 where id = any($1::uuid[]) and state = 'waiting' and lease_until is not null`,
)
/** Lets go of mails of which no word was said to the server: no attempt was made. */
export const unclaimMails = (db: Db, ids: readonly string[]) => db.rows(unclaim, [ids])

// Twice as long as any of ours: another process's clock may be a little ahead.
const bringBack = sql(
  'mail-bring-back',
  `update mail set next_attempt_at = least(next_attempt_at, $1), lease_until = null
    where state = 'waiting' and (next_attempt_at > $2 or lease_until > $3)`,
)
/** Makes due what was put off further than anything is: written while the clock ran far ahead of today's. */
export const bringBackMails = (db: Db, now: number) =>
  db.rows(bringBack, [at(now), at(now + 2 * longestWait), at(now + 2 * leaseFor)])

const hold = sql(
  'mail-hold-waiting',
  `with held as (
     update mail set state = 'held', next_attempt_at = null, lease_until = null where state = 'waiting' returning 1)
   select count(*)::int as n from held`,
)
/** Lets nothing go by itself any more that waits now; gives how many. */
export const holdWaitingMails = async (tx: Tx): Promise<number> => (await tx.one<{ n: number }>(hold))!.n

/** A query on `settled` (id, state, last_reply of the mail, and the instant as $6) that is part of settling it. */
export type AlsoSettling = { readonly name: string; readonly text: string }
export type Settled = {
  readonly state: 'sent' | 'waiting' | 'refused' | 'dropped'
  readonly nextAttemptAt: number | null
  readonly reply: string
  readonly code: number | null
  readonly attempts: number
}

const settling = (also: AlsoSettling | null, name: string, result: string) =>
  sql(
    `mail-${name}${also ? `-${also.name}` : ''}`,
    `with settled as (
       update mail set state = $2, next_attempt_at = $3, lease_until = null, last_reply = $4, last_code = $5,
         sent_at = case when $2 = 'sent' then $6::timestamptz end, attempts = $7
       where id = $1 and state = 'waiting' returning id, state, last_reply)
     ${also ? `, also as (${also.text})` : ''}
     select ${result} from settled`,
  )

/** Outcomes that a power cut of the database's machine may take back; it makes no difference to a process that dies. */
const mostOffDisk = 8

export type Settlement = {
  /** Keeps what became of a mail, and what hangs on that, in one statement; on the disk when it returns. */
  durably(db: Db, id: string, now: number, settled: Settled): Promise<unknown>
  /** Keeps it out of this process's hands: on the disk with the next that goes there, each eighth itself. */
  soon(db: Db, id: string, now: number, settled: Settled): Promise<unknown>
}

/** @param also is part of settling each mail. */
export function settlement(also: AlsoSettling | null): Settlement {
  const keep = (statement: Statement) => (db: Db, id: string, now: number, settled: Settled) =>
    db.rows(statement, [
      id,
      settled.state,
      settled.nextAttemptAt === null ? null : at(settled.nextAttemptAt),
      settled.reply,
      settled.code,
      at(now),
      settled.attempts,
    ])
  const durably = keep(settling(also, 'settle', 'id'))
  const soon = keep(settling(also, 'settle-soon', `set_config('synchronous_commit', 'off', true)`))
  let kept = 0
  return { durably, soon: (...outcome) => (++kept % mostOffDisk === 0 ? durably : soon)(...outcome) }
}

const again = sql(
  'mail-send-again',
  `update mail set state = 'waiting', next_attempt_at = $2, lease_until = null, attempts = 0
   where id = $1 and state in ('refused', 'held', 'dropped') returning id`,
)
/** Puts one mail that was refused or held back into the queue; false when it is in none of these states. */
export const sendAgain = async (db: Db, id: string, now: number) => (await db.one(again, [id, at(now)])) !== null
