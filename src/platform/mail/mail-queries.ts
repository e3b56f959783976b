import { at, type Db, sql, type Tx } from '../db/client.ts'
import { leaseFor, longestWait } from './back-off.ts'
import type { KeptMail } from './message.ts'

const columns = `m.id, m.kind, m.to_address as "toAddress", m.to_name as "toName", m.customer_id as "customerId",
  m.staff_id as "staffId", m.link_id as "linkId", m.subject, m.text_body as "textBody", m.html_body as "htmlBody",
  m.message_id as "messageId", m.attempts, m.request_id as "requestId"`

// The attempt is written before a word is said to the server: what happens after may be lost with the process.
const claim = sql(
  'mail-claim',
  `update mail m set lease_until = $2, attempts = m.attempts + 1, first_tried_at = coalesce(m.first_tried_at, $1)
   where m.id in (select id from mail where state = 'waiting' and next_attempt_at <= $1
       and (lease_until is null or lease_until <= $1) order by created_at, id limit 1 for update skip locked)
   returning ${columns}`,
)
/** Takes the oldest mail that is due (a try that failed does not cost its place); no other process gets it while the lease lasts. */
export const claimMail = (tx: Tx, now: number) => tx.one<KeptMail>(claim, [at(now), at(now + leaseFor)])

// Twice as long as any of ours: another process's clock may be a little ahead.
const bringBack = sql(
  'mail-bring-back',
  `update mail set next_attempt_at = least(next_attempt_at, $1), lease_until = null
    where state = 'waiting' and (next_attempt_at > $2 or lease_until > $3)`,
)
/** Makes due what was put off further than anything is: written while the clock ran far ahead of today's. */
export const bringBackMails = (db: Db, now: number) =>
  db.rows(bringBack, [at(now), at(now + 2 * longestWait), at(now + 2 * leaseFor)])

const settle = sql(
  'mail-settle',
  `update mail set state = $2, next_attempt_at = $3, lease_until = null, last_reply = $4, last_code = $5,
     sent_at = case when $2 = 'sent' then $6::timestamptz end, attempts = $7
   where id = $1 and state = 'waiting'`,
)
export type Settled = {
  readonly state: 'sent' | 'waiting' | 'refused' | 'dropped'
  readonly nextAttemptAt: number | null
  readonly reply: string
  readonly code: number | null
  readonly attempts: number
}
export const settleMail = (tx: Tx, id: string, now: number, settled: Settled) =>
  tx.rows(settle, [
    id,
    settled.state,
    settled.nextAttemptAt === null ? null : at(settled.nextAttemptAt),
    settled.reply,
    settled.code,
    at(now),
    settled.attempts,
  ])

const again = sql(
  'mail-send-again',
  `update mail set state = 'waiting', next_attempt_at = $2, lease_until = null, attempts = 0
   where id = $1 and state in ('refused', 'held', 'dropped') returning id`,
)
/** Puts one mail that was refused or held back into the queue; false when it is in none of these states. */
export const sendAgain = async (db: Db, id: string, now: number) => (await db.one(again, [id, at(now)])) !== null
