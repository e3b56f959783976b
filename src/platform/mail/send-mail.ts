import { setTimeout as pause } from 'node:timers/promises'
import type { Clock } from '../clock.ts'
import type { Database, Tx } from '../db/client.ts'
import type { Logger } from '../log.ts'
import { dialogueLimit } from './back-off.ts'
import { claimMail, type Settled, settleMail } from './mail-queries.ts'
import { composeMail, type KeptMail, type MailLinks, type Sender } from './message.ts'
import type { Outcome } from './outcome.ts'
import { settledBy } from './settled-by.ts'
import type { MailTransport } from './transport.ts'
import type { Turn } from './turns.ts'

/** What the sending of mails asks of those who queue them. */
export type MailOwner = {
  /** Reads the mail's reason again, under its row's lock: what is to be said now, or why nothing is. */
  asOfNow(tx: Tx, mail: KeptMail): Promise<KeptMail | Gone>
  linksOf(mail: KeptMail): Promise<MailLinks> | MailLinks
  /** Told in the transaction that settles the mail. */
  settled(tx: Tx, mail: KeptMail, outcome: Outcome): Promise<void>
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

/**
 * Sends the oldest mail that is due: the attempt is kept before the dialogue and the outcome after it. From the
 * message's end until its outcome is kept the turn is held, so that a process that dies leaves one mail in doubt.
 * Gives null when none is due, `stop` when the server takes none of ours.
 */
export async function sendNext(
  sending: Sending,
  sender: Sender,
  turn: Turn,
): Promise<Settled['state'] | 'stop' | null> {
  const mail = await claimNext(sending)
  if (!mail) return null
  if ('why' in mail) return 'dropped'
  const { db, clock, log, owner, transport } = sending
  const message = composeMail(mail, await owner.linksOf(mail), sender)
  try {
    const outcome = await withinLimit(over =>
      transport.send(message, async () => {
        await turn.comes()
        over.throwIfAborted()
      }),
    )
    const settled = settledBy(mail, outcome, clock.now())
    await db.transaction(async tx => {
      await settleMail(tx, mail.id, clock.now(), settled)
      await owner.settled(tx, mail, outcome)
    })
    const { kind, requestId } = mail
    const line = { mailId: mail.id, kind, outcome: outcome.kind, requestId, code: settled.code }
    log[outcome.kind === 'sent' ? 'info' : 'warn'](line, 'mail')
    return outcome.kind === 'auth-failed' || outcome.kind === 'unreachable' ? 'stop' : settled.state
  } finally {
    turn.passes()
  }
}

const claimNext = ({ db, clock, owner }: Sending) =>
  db.transaction(async tx => {
    const mail = await claimMail(tx, clock.now())
    if (!mail) return null
    const asOfNow = await owner.asOfNow(tx, mail)
    if ('why' in asOfNow) await settleMail(tx, mail.id, clock.now(), dropped(mail, asOfNow.why))
    return asOfNow
  })

const dropped = ({ attempts }: KeptMail, reply: string): Settled => ({
  state: 'dropped',
  nextAttemptAt: null,
  reply,
  code: null,
  attempts,
})

const tooLong: Outcome = {
  kind: 'temporary',
  code: null,
  reply: 'The mail server took longer than two minutes.',
}

/** Gives a dialogue up after its time; one that then still goes on is told that it is over. */
async function withinLimit(begin: (over: AbortSignal) => Promise<Outcome>): Promise<Outcome> {
  const over = new AbortController()
  const late = pause(dialogueLimit, tooLong, { signal: over.signal, ref: false })
  try {
    return await Promise.race([begin(over.signal), late])
  } finally {
    over.abort()
  }
}
