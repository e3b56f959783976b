import { claimedMails } from './claimed-mails.ts'
import { bringBackMails, settlement } from './mail-queries.ts'
import { type Sending, sendMail } from './send-mail.ts'
import { mailLanes } from './transport.ts'
import { aLine } from './turns.ts'

export type Sent = {
  readonly sent: number
  readonly waiting: number
  readonly refused: number
  readonly dropped: number
}

/** A server that needs longer for one mail gets no second at the same time: it would wait too long for its turn. */
const promptly = 2_000

/**
 * Sends what is due, oldest first, up to `limit`; any number of processes may. Stops at once when the server is away or
 * refuses our login: the next mail would fare no better, which is why the first goes alone.
 */
export async function sendDueMails(sending: Sending, limit = 60): Promise<Sent> {
  const counts = { sent: 0, waiting: 0, refused: 0, dropped: 0 }
  if (sending.transport.held) return counts
  await bringBackMails(sending.db, sending.clock.now())
  const settled = settlement(sending.owner.alsoSettling)
  const run = { sender: await sending.owner.sender(), settlement: settled, line: aLine() }
  const mails = claimedMails(sending, settled, limit)
  let stopped = false
  const sendOne = async () => {
    const mail = await mails.next()
    if (mail === null) return false
    const state = await sendMail(sending, run, mail)
    if (state === 'stop') stopped = true
    counts[state === 'stop' ? 'waiting' : state]++
    return true
  }
  try {
    const begun = performance.now()
    if (!(await sendOne()) || stopped) return counts
    const took = performance.now() - begun
    const lanes = took < promptly ? mailLanes : 1
    // About as many as are sent within the next second.
    mails.claimAtOnce(Math.floor((lanes * 1000) / took))
    const ended = await Promise.allSettled(
      Array.from({ length: lanes }, async () => {
        while (!stopped && (await sendOne()));
      }),
    )
    for (const lane of ended) if (lane.status === 'rejected') throw lane.reason
    return counts
  } finally {
    counts.dropped = mails.dropped
    await mails.end()
  }
}
