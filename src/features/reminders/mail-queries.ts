import { at, sql, type Tx } from '../../platform/db/client.ts'
import type { Letter } from './letter.tsx'

const keep = sql('reminders-keep-letter', 'update mail set subject = $2, text_body = $3, html_body = $4 where id = $1')
/** Keeps what a mail says now, before it is said. */
export const keepLetter = (tx: Tx, mailId: string, letter: Letter) =>
  tx.rows(keep, [mailId, letter.subject, letter.textBody, letter.htmlBody])

const person = sql(
  'reminders-person',
  'select name, mails_stopped_at is not null as stopped from customer where id = $1 for share',
)
export const personOf = (tx: Tx, customerId: string) => tx.one<{ name: string; stopped: boolean }>(person, [customerId])

const settleByMail = sql(
  'reminders-settle-by-mail',
  `update notice n set state = m.state, reason = case when m.state = 'refused' then m.last_reply else n.reason end,
     settled_at = $2
   from mail m where m.id = $1 and n.mail_id = m.id and m.state in ('sent', 'refused')
     and n.state in ('queued', 'held', 'refused')`,
)
/** Closes what a mail carried when the mail itself is settled. */
export const settleNoticesByMail = (tx: Tx, mailId: string, now: number) => tx.rows(settleByMail, [mailId, at(now)])
