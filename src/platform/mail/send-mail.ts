import type { Clock } from '../clock.ts'
import type { Database, Tx } from '../db/client.ts'
import type { Logger } from '../log.ts'
import { dialogueLimit } from './back-off.ts'
import type { AlsoSettling, Settled, Settlement } from './mail-queries.ts'
import { composeMail, type KeptMail, type MailLinks, type Sender } from './message.ts'
import type { Outcome } from './outcome.ts'
import { settledBy } from './settled-by.ts'
import type { MailTransport } from './transport.ts'
import type { Turn } from './turns.ts'

/** What the sending of mails asks of those who queue them. */
export type MailOwner = {
  /** Reads the mails' reasons again, under their rows' locks: for each what is to be said now, or why nothing is. */
  asOfNow(tx: Tx, mails: readonly KeptMail[]): Promise<readonly (KeptMail | Gone)[]>
  linksOf(mail: KeptMail): Promise<MailLinks> | MailLinks
  readonly alsoSettling: AlsoSettling | null
  /** Told in the transaction that settles a mail refused for good. */
  refused(tx: Tx, mail: KeptMail, reply: string): Promise<void>
  sender(): Promise<Sender>
}

/** A mail whose reason has gone. */
export type Gone = { readonly why: string }

export type Sending = {
  readonly db: Database
  readonly transport: MailTransport
  readonly clock: Clock
  readonly log: Logger
  readonly owner: MailOwner
}

/** What the mails of one run share. */
export type Run = { readonly sender: Sender; readonly settlement: Settlement; readonly line: () => Turn }

/**
 * Sends a mail whose attempt is kept, and keeps the outcome. From the message's end until its outcome is kept the turn
 * is held, so that a process that dies leaves one mail in doubt. Gives `stop` when the server takes none of ours.
 */
export async function sendMail(sending: Sending, run: Run, mail: KeptMail): Promise<Settled['state'] | 'stop'> {
  const { clock, log, owner, transport } = sending
  const turn = run.line()
  try {
    const message = composeMail(mail, await owner.linksOf(mail), run.sender)
    const outcome = await withinLimit(isOver =>
      transport.send(message, async () => {
        await turn.comes()
        if (isOver()) throw new Error(tooLong.reply)
      }),
    )
    const settled = settledBy(mail, outcome, clock.now())
    await keepOutcome(sending, run.settlement, mail, outcome, settled)
    const { kind, requestId } = mail
    const line = { mailId: mail.id, kind, outcome: outcome.kind, requestId, code: settled.code }
    log[outcome.kind === 'sent' ? 'info' : 'warn'](line, 'mail')
    return outcome.kind === 'auth-failed' || outcome.kind === 'unreachable' ? 'stop' : settled.state
  } finally {
    turn.passes()
  }
}

const keepOutcome = (
  { db, clock, owner }: Sending,
  { durably, soon }: Settlement,
  mail: KeptMail,
  outcome: Outcome,
  settled: Settled,
): Promise<unknown> =>
  outcome.kind === 'permanent'
    ? db.transaction(async tx => {
        await durably(tx, mail.id, clock.now(), settled)
        await owner.refused(tx, mail, outcome.reply)
      })
    : soon(db, mail.id, clock.now(), settled)

const tooLong = {
  kind: 'temporary',
  code: null,
  reply: 'The mail server took longer than two minutes.',
} satisfies Outcome

/** Gives a dialogue up after its time; one that then still goes on is told that it is over. */
async function withinLimit(begin: (isOver: () => boolean) => Promise<Outcome>): Promise<Outcome> {
  let over = false
  let limit: NodeJS.Timeout | undefined
  const late = new Promise<Outcome>(resolve => {
    limit = setTimeout(resolve, dialogueLimit, tooLong).unref()
  })
  try {
    return await Promise.race([begin(() => over), late])
  } finally {
    over = true
    clearTimeout(limit)
  }
}
