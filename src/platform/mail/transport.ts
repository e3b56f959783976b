import { createTransport, type SendMailOptions } from 'nodemailer'
import { type Outcome, outcomeOf } from './outcome.ts'

export type MailTransport = {
  /** True without a mail server: mails wait on screen and are never sent by themselves. */
  readonly held: boolean
  send(message: SendMailOptions): Promise<Outcome>
  close(): void
}

/** For an installation without a mail server. */
export const heldTransport = (): MailTransport => ({
  held: true,
  send: async () => ({ kind: 'held' }),
  close() {},
})

/** No verb may take longer, ms. */
const patience = 30_000

/** Speaks SMTP to the configured server over kept connections, each verb within 30 s. Never throws. */
export function smtpTransport(url: string): MailTransport {
  const transport = createTransport({
    url,
    pool: true,
    maxConnections: 4,
    maxMessages: 100,
    dnsTimeout: 10_000,
    connectionTimeout: 10_000,
    greetingTimeout: 15_000,
    socketTimeout: patience,
  } as Parameters<typeof createTransport>[0])
  return {
    held: false,
    async send(message) {
      try {
        const { response = '' } = (await transport.sendMail(message)) as { response?: string }
        return { kind: 'sent', reply: response.slice(0, 500) }
      } catch (error) {
        return outcomeOf(error)
      }
    },
    close: () => transport.close(),
  }
}

export const mailTransport = (smtpUrl: string | null): MailTransport =>
  smtpUrl ? smtpTransport(smtpUrl) : heldTransport()
