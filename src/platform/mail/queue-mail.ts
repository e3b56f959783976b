import { at, sql, type Tx } from '../db/client.ts'
import { newId } from '../ids.ts'
import { isPlainAddress } from './message.ts'

export type NewMail = {
  /** Given when the mail's identity follows from what caused it; its Message-ID follows from this. */
  readonly id?: string
  readonly kind: string
  readonly toAddress: string
  readonly toName: string
  readonly customerId?: string | null
  readonly staffId?: string | null
  readonly linkId?: string | null
  readonly subject: string
  readonly textBody: string
  readonly htmlBody: string
}

const insert = sql(
  'mail-insert',
  `insert into mail (id, kind, to_address, to_name, customer_id, staff_id, subject, text_body, html_body, link_id, message_id,
     state, next_attempt_at, request_id, created_at)
   values ($1,$2,$3,$4,$5,$6,$7,$8,$9,$10,$11, $12, case when $12 = 'waiting' then $13::timestamptz end, $14, $13)
   on conflict (id) do nothing`,
)

/**
 * Puts a mail into the queue, in the transaction that causes it; gives its id. Without a mail server it is held for the
 * office to read. Bodies hold `linkBlank` where a signed address goes.
 * @param from the sender, whose domain ends the Message-ID.
 */
export async function queueMail(
  tx: Tx,
  by: { readonly now: number; readonly requestId: string; readonly held: boolean; readonly from: string },
  mail: NewMail,
): Promise<string> {
  if (!isPlainAddress(mail.toAddress)) throw new Error('a mail needs one plain address')
  const id = mail.id ?? newId()
  const messageId = `<${id}@${domainOf(by.from)}>`
  await tx.rows(insert, [
    id,
    mail.kind,
    mail.toAddress,
    mail.toName,
    mail.customerId ?? null,
    mail.staffId ?? null,
    mail.subject,
    mail.textBody,
    mail.htmlBody,
    mail.linkId ?? null,
    messageId,
    by.held ? 'held' : 'waiting',
    at(by.now),
    by.requestId,
  ])
  return id
}

const domainOf = (from: string): string => /@([\w.-]+)>?\s*$/.exec(from)?.[1] ?? 'localhost'
