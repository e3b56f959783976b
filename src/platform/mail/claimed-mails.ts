import { claimMails, type Settlement, unclaimMails } from './mail-queries.ts'
import type { KeptMail } from './message.ts'
import type { Sending } from './send-mail.ts'

/** Most mails taken at once. */
const mostAtOnce = 25
/** What was read again longer ago is read once more before it is sent, ms. */
const freshFor = 5_000

type Claimed = { readonly mail: KeptMail; readonly readAt: number }

/** Mails whose attempt is kept and whose reason was read again, to be taken one by one. */
export type ClaimedMails = {
  /** The next, oldest first; null when none is due or as many as may be have been taken. */
  next(): Promise<KeptMail | null>
  /** From here on so many are claimed at once. */
  claimAtOnce(mails: number): void
  /** Gives none any more, and lets go of what nobody took. */
  end(): Promise<void>
  readonly dropped: number
}

/** Claims what is due a batch at a time, up to `limit`, the next batch while the one before is being sent. */
export function claimedMails(sending: Sending, settlement: Settlement, limit: number): ClaimedMails {
  const ready: Claimed[] = []
  let left = limit
  let atOnce = 1
  let dropped = 0
  let claiming: Promise<void> | null = null

  async function claim() {
    const asked = Math.min(atOnce, left)
    const { claimed, mails } = await claimBatch(sending, settlement, asked)
    left = claimed === 0 ? 0 : left - claimed
    dropped += claimed - mails.length
    const readAt = performance.now()
    ready.push(...mails.map(mail => ({ mail, readAt })))
  }

  async function letGo(mails: readonly Claimed[]) {
    if (mails.length === 0) return
    left += mails.length
    await unclaimMails(
      sending.db,
      mails.map(({ mail }) => mail.id),
    )
  }

  return {
    async next() {
      for (;;) {
        if (ready.length < atOnce / 2 && left > 0 && !claiming) {
          claiming = claim().finally(() => {
            claiming = null
          })
          // Whoever waits for it hears of its failure.
          claiming.catch(() => {})
        }
        const first = ready.shift()
        if (first && performance.now() - first.readAt < freshFor) return first.mail
        if (first) await letGo([first, ...ready.splice(0)])
        else if (claiming) await claiming
        else return null
      }
    },
    claimAtOnce(mails) {
      atOnce = Math.max(1, Math.min(mostAtOnce, mails))
    },
    async end() {
      await claiming?.catch(() => {})
      await letGo(ready.splice(0))
      left = 0
    },
    get dropped() {
      return dropped
    },
  }
}

const claimBatch = ({ db, clock, owner }: Sending, { durably }: Settlement, limit: number) =>
  db.transaction(async tx => {
    const claimed = await claimMails(tx, clock.now(), limit)
    const asOfNow = claimed.length > 0 ? await owner.asOfNow(tx, claimed) : []
    const mails: KeptMail[] = []
    for (const [i, mail] of asOfNow.entries())
      if ('why' in mail) {
        const { id, attempts } = claimed[i]!
        const settled = { state: 'dropped', nextAttemptAt: null, reply: mail.why, code: null, attempts } as const
        await durably(tx, id, clock.now(), settled)
      } else mails.push(mail)
    return { claimed: claimed.length, mails }
  })
