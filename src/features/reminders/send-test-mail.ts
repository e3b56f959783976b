import type { Deps } from '../../platform/deps.ts'
import { newId } from '../../platform/ids.ts'
import { composeMail } from '../../platform/mail/message.ts'
import type { Message } from '../../web/messages.tsx'
import { readLetterhead } from './company-queries.ts'

/** Talks to the mail server at once and says what it answered, in its own words. Nothing is queued. */
export async function sendTestMail(
  { db, mail, config, clock }: Pick<Deps, 'db' | 'mail' | 'config' | 'clock'>,
  to: string,
): Promise<Message> {
  if (mail.held)
    return { kind: 'note', text: 'No mail server is set: mails stay in this outbox. Set SMTP_URL and MAIL_FROM.' }
  const { name, replyTo } = await readLetterhead(db, clock.now())
  const id = newId()
  const kept = {
    id,
    kind: 'test',
    toAddress: to,
    toName: '',
    customerId: null,
    staffId: null,
    linkId: null,
    subject: `Test mail of ${name}`,
    textBody: `This mail shows that ${name} can send mails.`,
    htmlBody: '<p>This mail shows that mails can be sent.</p>',
    messageId: `<${id}@${/@([\w.-]+)/.exec(config.mailFrom)?.[1] ?? 'localhost'}>`,
    attempts: 1,
    requestId: null,
  }
  const outcome = await mail.send(
    composeMail(kept, { page: null, unsubscribe: null }, { from: config.mailFrom, replyTo }),
  )
  if (outcome.kind === 'sent') return { kind: 'done', text: `The mail server took it: ${outcome.reply}` }
  return { kind: 'trouble', text: outcome.kind === 'held' ? '' : `The mail server answered: ${outcome.reply}` }
}
