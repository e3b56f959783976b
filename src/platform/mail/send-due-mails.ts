import { setTimeout as pause } from 'node:timers/promises'
import type { Clock } from '../clock.ts'
import type { Database, Tx } from '../db/client.ts'
import type { Logger } from '../log.ts'
import { dialogueLimit, nextAttemptAt, serverPause } from './back-off.ts'
import { claimMail, type Settled, settleMail } from './mail-queries.ts'
import { composeMail, type KeptMail, type MailLinks, type Sender } from './message.ts'
import type { Outcome } from './outcome.ts'
import type { MailTransport } from './transport.ts'

/** What the sending of mails asks of those who queue them. */
export type MailOwner = {
  /** Reads the mail's reason again, under its row's lock: null while it stands, else why it has gone. */
  whyDropped(tx: Tx, mail: KeptMail): Promise<string | null>
  /** What is to be said now, in the same transaction; what was kept, when left out. */
  asOfNow?(tx: Tx, mail: KeptMail): Promise<KeptMail>
  linksOf(mail: KeptMail): Promise<MailLinks> | MailLinks
  /** Told in the transaction that settles the mail. */
  settled(tx: Tx, mail: KeptMail, outcome: Outcome): Promise<void>
  sender(): Promise<Sender>
}

export type Sending = {
  readonly db: Database
  readonly transport: MailTransport
  readonly clock: Clock
  readonly log: Logger
  readonly owner: MailOwner
}
export type Sent = {
  readonly sent: number
  readonly waiting: number
  readonly refused: number
  readonly dropped: number
}

/**
 * Sends what is due, oldest first, up to `limit`; any number of processes may. Stops at once when the server is away or
 * refuses our login: the next mail would fare no better.
 */
export async function sendDueMails(sending: Sending, limit = 60): Promise<Sent> {
  const counts = { sent: 0, waiting: 0, refused: 0, dropped: 0 }
  if (sending.transport.held) return counts
  const sender = await sending.owner.sender()
  for (let n = 0; n < limit; n++) {
    const state = await sendNext(sending, sender)
    if (state === null) return counts
    if (state === 'stop') {
      counts.waiting++
      return counts
    }
    counts[state]++
  }
  return counts
}

async function sendNext(sending: Sending, sender: Sender): Promise<Settled['state'] | 'stop' | null> {
  const { db, clock, log, owner, transport } = sending
  const claimed = await db.transaction(async tx => {
    const mail = await claimMail(tx, clock.now())
    if (!mail) return null
    const why = await owner.whyDropped(tx, mail)
    if (why !== null) await settleMail(tx, mail.id, clock.now(), dropped(mail, why))
    return { mail: why === null && owner.asOfNow ? await owner.asOfNow(tx, mail) : mail, why }
  })
  if (!claimed) return null
  if (claimed.why !== null) return 'dropped'
  const { mail } = claimed
  const message = composeMail(mail, await owner.linksOf(mail), sender)
  const outcome = await Promise.race([transport.send(message), givenUp()])
  const settled = settledBy(mail, outcome, clock.now())
  await db.transaction(async tx => {
    await settleMail(tx, mail.id, clock.now(), settled)
    await owner.settled(tx, mail, outcome)
  })
  const line = {
    mailId: mail.id,
    kind: mail.kind,
    outcome: outcome.kind,
    requestId: mail.requestId,
    code: settled.code,
  }
  log[outcome.kind === 'sent' ? 'info' : 'warn'](line, 'mail')
  return outcome.kind === 'auth-failed' || outcome.kind === 'unreachable' ? 'stop' : settled.state
}

const givenUp = async (): Promise<Outcome> => {
  await pause(dialogueLimit, undefined, { ref: false })
  return { kind: 'temporary', code: null, reply: 'The mail server took longer than two minutes.' }
}

const dropped = (mail: KeptMail, why: string): Settled => ({
  state: 'dropped',
  nextAttemptAt: null,
  reply: why,
  code: null,
  attempts: mail.attempts,
})

/** What becomes of a mail: a server that is away costs it no attempt, one that says "later" does. */
export function settledBy(mail: Pick<KeptMail, 'id' | 'attempts'>, outcome: Outcome, now: number): Settled {
  const { id, attempts } = mail
  switch (outcome.kind) {
    case 'sent':
      return { state: 'sent', nextAttemptAt: null, reply: outcome.reply, code: 250, attempts }
    case 'permanent':
      return { state: 'refused', nextAttemptAt: null, reply: outcome.reply, code: outcome.code, attempts }
    case 'temporary': {
      const next = nextAttemptAt(id, attempts, now)
      const state = next === null ? 'refused' : 'waiting'
      return { state, nextAttemptAt: next, reply: outcome.reply, code: outcome.code, attempts }
    }
    case 'held':
      return { state: 'waiting', nextAttemptAt: now + serverPause, reply: '', code: null, attempts: attempts - 1 }
    default:
      return {
        state: 'waiting',
        nextAttemptAt: now + serverPause,
        reply: outcome.reply,
        code: outcome.code,
        attempts: attempts - 1,
      }
  }
}
