import { bringBackMails } from './mail-queries.ts'
import { type Sending, sendNext } from './send-mail.ts'
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
  const sender = await sending.owner.sender()
  const line = aLine()
  let left = limit
  const sendOne = async () => {
    left--
    const state = await sendNext(sending, sender, line())
    if (state === null || state === 'stop') left = 0
    if (state !== null) counts[state === 'stop' ? 'waiting' : state]++
  }
  const begun = performance.now()
  await sendOne()
  const lanes = performance.now() - begun < promptly ? mailLanes : 1
  const ended = await Promise.allSettled(
    Array.from({ length: lanes }, async () => {
      while (left > 0) await sendOne()
    }),
  )
  for (const lane of ended) if (lane.status === 'rejected') throw lane.reason
  return counts
}
