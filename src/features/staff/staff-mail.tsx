import type { Config } from '../../platform/config.ts'
import type { Tx } from '../../platform/db/client.ts'
import { newId } from '../../platform/ids.ts'
import type { Jobs } from '../../platform/jobs/queue.ts'
import { linkBlank } from '../../platform/mail/message.ts'
import { queueMail } from '../../platform/mail/queue-mail.ts'
import { paths } from '../../web/paths.ts'
import { insertStaffToken, mailedSecret } from './staff-token.ts'

type Kind = 'invitation' | 'password'
type To = { readonly id: string; readonly email: string; readonly name: string }
type By = {
  readonly now: number
  readonly requestId: string
  readonly config: Config
  readonly jobs: Jobs
  readonly company: string
}

const said = {
  invitation: {
    subject: (company: string) => `You are invited to ${company}`,
    why: (company: string) => `${company} keeps its radon work here and has added you. Set a password and you are in.`,
    until: 'The link opens once, within seven days.',
  },
  password: {
    subject: (company: string) => `Set a new password for ${company}`,
    why: () => 'Somebody asked for a new password for this address. If it was not you, do nothing: the old one stays.',
    until: 'The link opens once, within one hour.',
  },
} as const

/** Queues the mail with a one-time link. The kept body holds a blank; the link is made when the mail goes out. */
export async function mailStaffLink(
  tx: Tx,
  { now, requestId, config, jobs, company }: By,
  kind: Kind,
  to: To,
): Promise<void> {
  const id = newId()
  await insertStaffToken(tx, now, { secret: mailedSecret(config.linkKeys[0]!, id), staffId: to.id, purpose: kind })
  const { subject, why, until } = said[kind]
  await queueMail(
    tx,
    { now, requestId, held: false, from: config.mailFrom },
    {
      id,
      kind: `staff-${kind}`,
      toAddress: to.email,
      toName: to.name,
      staffId: to.id,
      subject: subject(company),
      textBody: `Hello ${to.name},\n\n${why(company)}\n\n${linkBlank}\n\n${until}\n`,
      htmlBody: await (<Body name={to.name} why={why(company)} until={until} />),
    },
  )
  await jobs.enqueue(tx, 'send-mails', {}, { key: 'send-mails', requestId })
}

const Body = ({ name, why, until }: { name: string; why: string; until: string }): JSX.Element => (
  <div>
    <p safe>{`Hello ${name},`}</p>
    <p safe>{why}</p>
    <p>
      <a href={linkBlank} style="overflow-wrap:anywhere" safe>
        {linkBlank}
      </a>
    </p>
    <p safe>{until}</p>
  </div>
)

/** The address behind the blank of a mail to somebody of the company; null for any other mail. */
export const staffMailLink = (config: Config, mail: { id: string; kind: string }): string | null =>
  mail.kind.startsWith('staff-')
    ? `${config.publicUrl}${paths.setPassword(mailedSecret(config.linkKeys[0]!, mail.id))}`
    : null
