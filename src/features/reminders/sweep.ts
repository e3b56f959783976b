import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Instant } from '../../domain/facts.ts'
import { insertLinks } from '../../platform/auth/link-queries.ts'
import type { Tx } from '../../platform/db/client.ts'
import type { Deps } from '../../platform/deps.ts'
import { isPlainAddress } from '../../platform/mail/message.ts'
import { queueMails } from '../../platform/mail/queue-mail.ts'
import { askToSend } from './ask-to-send.ts'
import { type ClaimedNotice, claimDue, holdPeopleDue, peopleAtOnce } from './claim.ts'
import { readLetterhead } from './company-queries.ts'
import { grouped } from './grouped.ts'
import { attachMails, reminderAllowance, settleNotices } from './notice-queries.ts'
import { type HomeInMail, reminderMail } from './reminder-mail.tsx'

export type Sweeping = Pick<Deps, 'db' | 'jobs' | 'clock' | 'config' | 'mail'>
export type Swept = { readonly mails: number; readonly unreachable: number }

/**
 * Writes the reminders that have come due, a batch of people a transaction: notices, mails, links and the job that
 * sends them commit together or not at all. Any number of processes may sweep at once; one that dies leaves nothing.
 */
export async function sweepReminders(sweeping: Sweeping, requestId = ''): Promise<Swept> {
  const swept = { mails: 0, unreachable: 0 }
  for (;;) {
    const now = sweeping.clock.now()
    const done = await sweeping.db.transaction(tx => sweepSome(tx, sweeping, now, requestId))
    swept.mails += done.mails
    swept.unreachable += done.unreachable
    if (done.claimed === 0) return swept
  }
}

async function sweepSome(tx: Tx, sweeping: Sweeping, now: Instant, requestId: string) {
  const allowance = await reminderAllowance(tx, now)
  if (allowance === null) return { mails: 0, unreachable: 0, claimed: 0 }
  const held = await holdPeopleDue(tx, now, Math.min(peopleAtOnce, allowance))
  const claimed = await claimDue(tx, now, held)
  const cut = grouped(claimed, whyUnreachable)
  const reachable = cut.flatMap(([why, notices]) => (why === null ? notices : []))
  const unreachable = claimed.length - reachable.length
  for (const [why, notices] of cut)
    if (why !== null) await settleNotices(tx, notices.map(idOf), 'unreachable', why, now)
  const persons = grouped(reachable, notice => notice.customerId).map(([, notices]) => notices)
  if (persons.length > 0) await writeMails(tx, sweeping, persons, { now, requestId })
  if (persons.length > 0 && !sweeping.mail.held) await askToSend(tx, sweeping, requestId)
  return { mails: persons.length, unreachable, claimed: claimed.length }
}

const idOf = ({ noticeId }: ClaimedNotice) => noticeId

/** Why no mail can reach the one who is to be reminded, in words for the office; null when one can. */
export function whyUnreachable(notice: Omit<ClaimedNotice, keyof HomeInMail['owed'][number]>): string | null {
  if (notice.customerId === null) return 'No owner is on record.'
  if (notice.saysMoved) return `${notice.customerName} says that they moved.`
  if (notice.mailsStopped) return `${notice.customerName} asked for no mails.`
  if (notice.email === null) return `No mail address of ${notice.customerName} is known.`
  if (!isPlainAddress(notice.email)) return `The mail address of ${notice.customerName} is not one.`
  if (notice.addressRefused) return `The mail address of ${notice.customerName} was refused.`
  if (notice.preferredChannel === 'phone') return `${notice.customerName} wants to be phoned.`
  if (notice.preferredChannel === 'letter') return `${notice.customerName} wants a letter.`
  return null
}

/** One mail a person with a link for each of their homes, in three statements however many they are. */
async function writeMails(
  tx: Tx,
  { config, mail }: Sweeping,
  persons: readonly (readonly ClaimedNotice[])[],
  by: { readonly now: Instant; readonly requestId: string },
): Promise<void> {
  const company = await readLetterhead(tx, by.now)
  const today = localDayOf(by.now, company.zone)
  const addressed = persons.map(notices => ({ notices, homes: grouped(notices, notice => notice.propertyId) }))
  const links = await insertLinks(
    tx,
    by.now,
    addressed.flatMap(({ notices, homes }) =>
      homes.map(([propertyId]) => ({ propertyId, customerId: notices[0]!.customerId!, purpose: 'reminder' })),
    ),
  )
  let used = 0
  const mails = addressed.map(({ notices, homes }) => {
    const { customerId, customerName: name, email } = notices[0]!
    const linked = homes.map(([, owed]) => ({ linkId: links[used++]!, owed }))
    const letter = reminderMail({ company, name, homes: linked, today })
    return { kind: 'reminder', toAddress: email!, toName: name, customerId, linkId: linked[0]!.linkId, ...letter }
  })
  const ids = await queueMails(tx, { ...by, held: mail.held, from: config.mailFrom }, mails)
  const pairs = persons.flatMap((notices, i) => notices.map(({ noticeId }) => ({ noticeId, mailId: ids[i]! })))
  await attachMails(tx, pairs, mail.held)
}
