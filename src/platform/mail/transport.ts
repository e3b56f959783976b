import { type Readable, Transform } from 'node:stream'
import { createTransport, type SendMailOptions } from 'nodemailer'
import { type Outcome, outcomeOf } from './outcome.ts'

export type MailTransport = {
  /** True without a mail server: mails wait on screen and are never sent by themselves. */
  readonly held: boolean
  /** @param mayEnd waited for before the message's last bytes, by which the server takes it; what it throws breaks off. */
  send(message: SendMailOptions, mayEnd?: () => Promise<void>): Promise<Outcome>
  close(): void
}

/** For an installation without a mail server. */
export const heldTransport = (): MailTransport => ({
  held: true,
  send: async () => ({ kind: 'held' }),
  close() {},
})

/** Connections kept to the mail server. */
export const mailLanes = 4
/** No verb may take longer, ms. */
const patience = 30_000

/** Speaks SMTP to the configured server over kept connections, each verb within 30 s. Never throws. */
export function smtpTransport(url: string): MailTransport {
  const transport = createTransport({
    url,
    pool: true,
    maxConnections: mailLanes,
    maxMessages: 100,
    dnsTimeout: 10_000,
    connectionTimeout: 10_000,
    greetingTimeout: 15_000,
    socketTimeout: patience,
  } as Parameters<typeof createTransport>[0])
  transport.use('stream', ({ data, message }, done) => {
    const { mayEnd } = data as Held
    if (mayEnd) message.processFunc(input => endingAfter(mayEnd, input))
    done()
  })
  return {
    held: false,
    async send(message, mayEnd) {
      try {
        const held: Held = { ...message, mayEnd }
        const { response = '' } = (await transport.sendMail(held)) as { response?: string }
        return { kind: 'sent', reply: response.slice(0, 500) }
      } catch (error) {
        return outcomeOf(error)
      }
    },
    close: () => transport.close(),
  }
}

type Held = SendMailOptions & { readonly mayEnd?: (() => Promise<void>) | undefined }

// Read only once the server has asked for the message: until then nobody's turn is held up. In one piece, because the
// library writes each line of a body by itself.
function endingAfter(mayEnd: () => Promise<void>, message: Readable): Transform {
  const pieces: Buffer[] = []
  const whole = new Transform({
    transform(piece: Buffer, _, done) {
      pieces.push(piece)
      done()
    },
    flush(done) {
      this.push(Buffer.concat(pieces))
      mayEnd().then(() => done(), done)
    },
  })
  message.on('error', error => whole.destroy(error))
  return message.pipe(whole)
}

export const mailTransport = (smtpUrl: string | null): MailTransport =>
  smtpUrl ? smtpTransport(smtpUrl) : heldTransport()
