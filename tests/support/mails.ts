import type { Clock } from '../../src/platform/clock.ts'
import type { Database } from '../../src/platform/db/client.ts'
import { queueMail } from '../../src/platform/mail/queue-mail.ts'
import type { MailOwner } from '../../src/platform/mail/send-mail.ts'

export const officeAddress = 'office@clearwell.example'

/** Puts plain mails into the queue, one an address, each due a millisecond after the one before. */
export const queueMails = (db: Database, clock: Clock, addresses: readonly string[]): Promise<string[]> =>
  db.transaction(async tx => {
    const ids: string[] = []
    for (const [at, toAddress] of addresses.entries())
      ids.push(
        await queueMail(
          tx,
          { now: clock.now() + at, requestId: 'rig', held: false, from: officeAddress },
          {
            kind: 'reminder',
            toAddress,
            toName: '',
            subject: 'Your test is due',
            textBody: 'Text',
            htmlBody: '<p>Text</p>',
          },
        ),
      )
    return ids
  })

/** The owner of mails whose reasons stand until told otherwise. */
export const plainOwner = (gone: ReadonlySet<string> = new Set()): MailOwner => ({
  asOfNow: async (_, mails) => mails.map(mail => (gone.has(mail.toAddress) ? { why: 'The test was done.' } : mail)),
  linksOf: () => ({ page: null, unsubscribe: null }),
  alsoSettling: null,
  refused: async () => {},
  sender: async () => ({ from: officeAddress, replyTo: null }),
})

export type MailState = {
  to: string
  state: string
  attempts: number
  reply: string | null
  code: number | null
  next: number | null
  sentAt: number | null
}

export const mailStates = async (db: Database): Promise<MailState[]> =>
  (
    await db.pool.query<MailState>(
      `select to_address as "to", state, attempts, last_reply as reply, last_code as code, next_attempt_at as next,
         sent_at as "sentAt" from mail order by created_at, id`,
    )
  ).rows
