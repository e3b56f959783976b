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
  /** The record it tells of. */
  readonly aboutId?: string | null
  readonly subject: string
  readonly textBody: string
  readonly htmlBody: string
}

const insert = sql(
  'mail-insert',
  `insert into mail (id, kind, to_address, to_name, customer_id, staff_id, subject, text_body, html_body, link_id, about_id, message_id,
     state, next_attempt_at, request_id, created_at)
   select id, kind, "toAddress", "toName", "customerId", "staffId", subject, "textBody", "htmlBody", "linkId", "aboutId",
     '<' || id || '@' || $2 || '>', $3, case when $3 = 'waiting' then $4::timestamptz end, $5, $4
   from json_to_recordset($1) as m (id uuid, kind text, "toAddress" text, "toName" text, "customerId" uuid, "staffId" uuid,
     subject text, "textBody" text, "htmlBody" text, "linkId" uuid, "aboutId" uuid)
   on conflict (id) do nothing`,
)

export type Queueing = {
  readonly now: number
  readonly requestId: string
  /** True without a mail server: the mail is kept for the office to read. */
  readonly held: boolean
  /** The sender, whose domain ends the Message-ID. */
  readonly from: string
}

/**
 * Puts mails into the queue with one statement, in the transaction that causes them; gives their ids in order. Bodies
 * hold `linkBlank` where a signed address goes.
 */
export async function queueMails(tx: Tx, by: Queueing, mails: readonly NewMail[]): Promise<string[]> {
  if (!mails.every(mail => isPlainAddress(mail.toAddress))) throw new Error('a mail needs one plain address')
  const rows = mails.map(mail => ({ ...mail, id: mail.id ?? newId() }))
  if (rows.length > 0)
    await tx.rows(insert, [
      JSON.stringify(rows),
      domainOf(by.from),
      by.held ? 'held' : 'waiting',
      at(by.now),
      by.requestId,
    ])
  return rows.map(({ id }) => id)
}

/** The same for one mail. */
export const queueMail = async (tx: Tx, by: Queueing, mail: NewMail): Promise<string> =>
  (await queueMails(tx, by, [mail]))[0]!

const domainOf = (from: string): string => /@([\w.-]+)>?\s*$/.exec(from)?.[1] ?? 'localhost'
