import { sql, type Tx } from '../../platform/db/client.ts'
import type { AlsoSettling } from '../../platform/mail/mail-queries.ts'
import type { Letter } from './letter.tsx'

const keep = sql(
  'reminders-keep-letters',
  `update mail m set subject = l.subject, text_body = l."textBody", html_body = l."htmlBody"
     from json_to_recordset($1) as l (id uuid, subject text, "textBody" text, "htmlBody" text) where m.id = l.id`,
)
/** Keeps what mails say now, before it is said. */
export const keepLetters = (tx: Tx, letters: readonly (Letter & { readonly id: string })[]) =>
  tx.rows(keep, [JSON.stringify(letters)])

const stopped = sql(
  'reminders-stopped',
  `select id, name, mails_stopped_at is not null as stopped from customer where id = any($1::uuid[]) order by id for share`,
)
/** Who of these people asked for no more mails, by id and with their name; until the transaction ends that stays so. */
export const whoStopped = async (tx: Tx, people: readonly string[]): Promise<ReadonlyMap<string, string>> => {
  const rows = await tx.rows<{ id: string; name: string; stopped: boolean }>(stopped, [people])
  return new Map(rows.filter(row => row.stopped).map(({ id, name }) => [id, name]))
}

/** Closes what a mail carried when the mail itself is settled. */
export const noticesOfMail: AlsoSettling = {
  name: 'notices',
  text: `update notice n set state = m.state, reason = case when m.state = 'refused' then m.last_reply else n.reason end,
       settled_at = $6
     from settled m where n.mail_id = m.id and m.state in ('sent', 'refused') and n.state in ('queued', 'held', 'refused')`,
}
