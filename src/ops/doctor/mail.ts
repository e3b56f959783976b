import { createTransport } from 'nodemailer'
import { at, sql } from '../../platform/db/client.ts'
import { type Diagnosis, fine, notice, type Patient, wrong } from './diagnosis.ts'

const troubled = sql(
  'doctor-mail',
  `select count(*) filter (where state = 'refused')::int as refused,
          count(*) filter (where state = 'waiting' and attempts > 0 and first_tried_at < $1)::int as delayed,
          (array_agg(last_reply order by created_at desc) filter (where last_reply is not null))[1] as reply
   from mail where state in ('refused', 'waiting')`,
)

type Troubled = { refused: number; delayed: number; reply: string | null }

/** Greets the mail server as for a real mail, then looks at the mails that did not get through. */
export async function mail({ db, config, now }: Patient): Promise<Diagnosis> {
  if (!config.smtpUrl)
    return notice('mail', 'no mail server is set: mails stay in the outbox', 'set SMTP_URL and MAIL_FROM')
  const refusal = await greet(config.smtpUrl)
  if (refusal)
    return wrong(
      'mail',
      `the mail server does not take us: ${refusal}`,
      'check host, port, user and password in SMTP_URL',
    )
  const { refused, delayed, reply } = (await db.one<Troubled>(troubled, [at(now - 900_000)]))!
  if (delayed > 0)
    return wrong('mail', `${delayed} mail(s) have been failing for over 15 minutes: ${reply}`, 'see the outbox')
  if (refused > 0)
    return notice('mail', `${refused} mail(s) were refused for good`, "see the office's list of failed mails")
  return fine('mail', 'the mail server greets us')
}

async function greet(url: string): Promise<string | null> {
  const transport = createTransport({ url, connectionTimeout: 5_000, greetingTimeout: 5_000, socketTimeout: 5_000 })
  try {
    await transport.verify()
    return null
  } catch (error) {
    return error instanceof Error ? error.message : String(error)
  } finally {
    transport.close()
  }
}
