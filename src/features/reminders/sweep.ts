import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Instant } from '../../domain/facts.ts'
import { insertLinks } from '../../platform/auth/link-queries.ts'
import type { Tx } from '../../platform/db/client.ts'
import type { Deps } from '../../platform/deps.ts'
import { isPlainAddress } from '../../platform/mail/message.ts'
import { queueMail } from '../../platform/mail/queue-mail.ts'
import { askToSend } from './ask-to-send.ts'
import { type ClaimedNotice, claimDue, holdPeopleDue } from './claim.ts'
import { type Letterhead, readLetterhead } from './company-queries.ts'
import { grouped } from './grouped.ts'
import { attachMails, reminderAllowance, settleNotices } from './notice-queries.ts'
import { type HomeInMail, reminderMail } from './reminder-mail.tsx'

export type Sweeping = Pick<Deps, 'db' | 'jobs' | 'clock' | 'config' | 'mail'>
export type Swept = { readonly mails: number; readonly unreachable: number }

/** People a transaction takes: few enough that nobody waits for it. */
export const sweepBatch = 50

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
    if (done.people < sweepBatch) return swept
  }
}

async function sweepSome(tx: Tx, sweeping: Sweeping, now: Instant, requestId: string) {
  const allowance = await reminderAllowance(tx, now)
  if (allowance === null) return { mails: 0, unreachable: 0, people: 0 }
  const people = await holdPeopleDue(tx, now, Math.min(sweepBatch, allowance))
  const claimed = await claimDue(tx, now, people)
  const cut = claimed.map(notice => ({ notice, why: whyUnreachable(notice) }))
  for (const { notice, why } of cut)
    if (why !== null) await settleNotices(tx, [notice.noticeId], 'unreachable', why, now)
  const reachable = cut.flatMap(({ notice, why }) => (why === null ? [notice] : []))
  const persons = grouped(reachable, notice => notice.customerId)
  const company = await readLetterhead(tx)
  for (const [, notices] of persons) await writeMail(tx, sweeping, company, notices, { now, requestId })
  if (persons.length > 0 && !sweeping.mail.held) await askToSend(tx, sweeping, requestId)
  return { mails: persons.length, unreachable: cut.filter(({ why }) => why !== null).length, people: people.length }
}

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

async function writeMail(
  tx: Tx,
  { config, mail }: Sweeping,
  company: Letterhead,
  notices: readonly ClaimedNotice[],
  at: { readonly now: Instant; readonly requestId: string },
): Promise<void> {
  const { customerId, customerName: name, email } = notices[0]!
  const homes = grouped(notices, notice => notice.propertyId)
  const links = await insertLinks(
    tx,
    at.now,
    homes.map(([propertyId]) => ({ propertyId, customerId: customerId!, purpose: 'reminder' })),
  )
  const letter = reminderMail({
    company,
    name,
    homes: homes.map(([, owed], index) => ({ linkId: links[index]!, owed })),
    today: localDayOf(at.now, company.zone),
  })
  const mailId = await queueMail(
    tx,
    { ...at, held: mail.held, from: config.mailFrom },
    { kind: 'reminder', toAddress: email!, toName: name, customerId, linkId: links[0]!, ...letter },
  )
  const pairs = notices.map(({ noticeId }) => ({ noticeId, mailId }))
  await attachMails(tx, pairs, mail.held)
}
