import { appendFileSync } from 'node:fs'
import { mkdir } from 'node:fs/promises'
import type { AddressInfo, Socket } from 'node:net'
import { join } from 'node:path'
import { setTimeout as pause } from 'node:timers/promises'
import { SMTPServer, type SMTPServerSession } from 'smtp-server'
import { testFolder } from './postgres.ts'

export type Verb = 'CONNECT' | 'AUTH' | 'MAIL' | 'RCPT' | 'DATA'
export type Ask = { readonly verb: Verb; readonly from: string; readonly to: string; readonly messageId: string }

/** What the server does instead of accepting: an SMTP reply, a cut connection, or a wait, for a time or for something, before going on. */
export type Reply =
  | { readonly code: number; readonly text: string }
  | { readonly cut: true }
  | { readonly waitMs: number }
  | { readonly waitFor: Promise<unknown> }
export type Rule = (ask: Ask) => Reply | undefined

export type LedgerLine = {
  readonly at: number
  readonly from: string
  readonly to: readonly string[]
  readonly messageId: string
  /** Whether the sender was told 250. A message cut off before that may come again. */
  readonly answered: boolean
  readonly raw: string
}

export type MailSink = {
  readonly url: string
  readonly port: number
  readonly file: string
  readonly ledger: readonly LedgerLine[]
  readonly asks: readonly Ask[]
  /** Replaces the rule; none accepts everything. */
  behave(rule?: Rule): void
  clear(): void
  close(): Promise<void>
}

type Options = {
  readonly port?: number
  /** Offers STARTTLS with a certificate nobody trusts. */
  readonly untrustedTls?: boolean
  readonly login?: { readonly user: string; readonly password: string }
}

/** A real SMTP server that keeps every message it took, in memory and line by line in a file of its own. */
export async function aMailSink(options: Options = {}): Promise<MailSink> {
  await mkdir(testFolder, { recursive: true })
  const ledger: LedgerLine[] = []
  const asks: Ask[] = []
  let rule: Rule | undefined
  const server = new SMTPServer({
    disabledCommands: [...(options.untrustedTls ? [] : ['STARTTLS']), ...(options.login ? [] : ['AUTH'])],
    authOptional: !options.login,
    allowInsecureAuth: true,
    disableReverseLookup: true,
    closeTimeout: 500,
    onConnect: (session, done) => void decide(session, { verb: 'CONNECT' }).then(() => done(), done),
    onAuth: (auth, session, done) =>
      void decide(session, { verb: 'AUTH' }).then(() => {
        const known = auth.username === options.login?.user && auth.password === options.login?.password
        if (known) done(null, { user: auth.username })
        else done(asReply({ code: 535, text: '5.7.8 Authentication credentials invalid' }))
      }, done),
    onMailFrom: (address, session, done) =>
      void decide(session, { verb: 'MAIL', from: address.address }).then(() => done(), done),
    onRcptTo: (address, session, done) =>
      void decide(session, { verb: 'RCPT', to: address.address }).then(() => done(), done),
    async onData(stream, session, done) {
      try {
        const chunks: Buffer[] = []
        for await (const chunk of stream) chunks.push(chunk as Buffer)
        const raw = Buffer.concat(chunks).toString('utf8')
        await take(raw, session)
        done(null, 'kept')
      } catch (error) {
        done(error as Error)
      }
    },
  })
  server.on('error', () => {})
  await new Promise<void>(resolve => server.listen(options.port ?? 0, '127.0.0.1', () => resolve()))
  const port = (server.server.address() as AddressInfo).port
  const file = join(testFolder, `mail-${process.pid}-${port}.jsonl`)

  async function decide(
    session: SMTPServerSession,
    about: { verb: Verb; from?: string; to?: string; messageId?: string },
  ) {
    const { mailFrom, rcptTo } = session.envelope
    const ask: Ask = {
      verb: about.verb,
      from: about.from ?? (mailFrom ? mailFrom.address : ''),
      to: about.to ?? rcptTo.map(recipient => recipient.address).join(),
      messageId: about.messageId ?? '',
    }
    asks.push(ask)
    const reply = rule?.(ask)
    if (!reply) return
    if ('waitMs' in reply) await pause(reply.waitMs, undefined, { ref: false })
    else if ('waitFor' in reply) await reply.waitFor
    else if ('cut' in reply) {
      cut(session)
      throw asReply({ code: 421, text: 'cut' })
    } else throw asReply(reply)
  }

  async function take(raw: string, session: SMTPServerSession) {
    const messageId = /^message-id:\s*(\S+)/im.exec(raw)?.[1] ?? ''
    const { mailFrom, rcptTo } = session.envelope
    const from = mailFrom ? mailFrom.address : ''
    const line = { at: Date.now(), from, to: rcptTo.map(recipient => recipient.address), messageId, raw }
    try {
      await decide(session, { verb: 'DATA', messageId })
    } catch (error) {
      // A server that breaks off after the last line may have kept the message: the ledger says that it saw it.
      if ((error as Error).message === 'cut') keep({ ...line, answered: false })
      throw error
    }
    keep({ ...line, answered: true })
  }

  function keep(line: LedgerLine) {
    ledger.push(line)
    appendFileSync(file, `${JSON.stringify(line)}\n`)
  }

  function cut(session: SMTPServerSession) {
    const connections = [...server.connections] as { session: SMTPServerSession; _socket: Socket }[]
    for (const connection of connections) if (connection.session.id === session.id) connection._socket.destroy()
  }

  return {
    url: `smtp://${options.login ? `${options.login.user}:${options.login.password}@` : ''}127.0.0.1:${port}`,
    port,
    file,
    ledger,
    asks,
    behave(next) {
      rule = next
    },
    clear() {
      ledger.length = 0
      asks.length = 0
    },
    close: () => new Promise(resolve => server.close(() => resolve())),
  }
}

const asReply = ({ code, text }: { code: number; text: string }): Error =>
  Object.assign(new Error(text), { responseCode: code })

/** Refuses with this reply whatever concerns an address that matches. */
export const refusing =
  (verb: Verb, code: number, text: string, address = /(?:)/): Rule =>
  ask =>
    ask.verb === verb && address.test(ask.to || ask.from) ? { code, text } : undefined

/** Defers each new recipient until so many milliseconds of `now` have passed since it first came. */
export function greylisting(ms: number, now: () => number = Date.now): Rule {
  const first = new Map<string, number>()
  return ask => {
    if (ask.verb !== 'RCPT') return undefined
    if (!first.has(ask.to)) first.set(ask.to, now())
    return now() - first.get(ask.to)! < ms ? { code: 450, text: '4.2.0 Greylisted, try again later' } : undefined
  }
}
