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

const hold = sql(
  'reminders-hold-people-told',
  'select id from customer where id = any($1::uuid[]) order by id for share',
)
const stopped = sql(
  'reminders-stopped',
  `select u.id, u.name from customer u left join customer k on k.id = u.merged_into_id
    where u.id = any($1::uuid[]) and (u.mails_stopped_at is not null or k.mails_stopped_at is not null)`,
)
/** Who of these people asked for no more mails, by id and with their name; until the transaction ends that stays so. */
export async function whoStopped(tx: Tx, people: readonly string[]): Promise<ReadonlyMap<string, string>> {
  await tx.rows(hold, [people])
  // Read once they are held: a mail that was taken to be sent may name an entry that was merged into another meanwhile.
  const rows = await tx.rows<{ id: string; name: string }>(stopped, [people])
  return new Map(rows.map(({ id, name }) => [id, name]))
}

/** Closes what a mail carried when the mail itself is settled. */
export const noticesOfMail: AlsoSettling = {
  name: 'notices',
  text: `update notice n set state = m.state, reason = case when m.state = 'refused' then m.last_reply else n.reason end,
       settled_at = $6
     from settled m where n.mail_id = m.id and m.state in ('sent', 'refused') and n.state in ('queued', 'held', 'refused')`,
}
