import { localDayOf } from '../../domain/calendar/local-day.ts'
import { linkTokenFor } from '../../platform/auth/link-token.ts'
import type { Tx } from '../../platform/db/client.ts'
import type { Deps } from '../../platform/deps.ts'
import type { KeptMail } from '../../platform/mail/message.ts'
import type { Gone, MailOwner } from '../../platform/mail/send-mail.ts'
import { paths } from '../../web/paths.ts'
import { readLetterhead } from './company-queries.ts'
import { grouped } from './grouped.ts'
import { fillPages, type Letter } from './letter.tsx'
import { keepLetters, noticesOfMail, whoStopped } from './mail-queries.ts'
import { mailedAddress } from './mailed-address.ts'
import { type CarriedNotice, carriedNotices, giveBack, holdHomesOf, settleNotices } from './notice-queries.ts'
import { reminderMail } from './reminder-mail.tsx'

/** Notes that a server refused a person's address for good, in its own words: the write of another feature. */
export type MarkRefused = (tx: Tx, now: number, customerId: string, reply: string) => Promise<unknown>

/** How mails to homeowners are checked, filled and settled. What has gone in the meantime is not sent. */
export function homeownerMails({ clock, config, db }: Deps, markRefused: MarkRefused): MailOwner {
  const tokenOf = (linkId: string) => linkTokenFor(config.linkKeys, linkId)
  const addressOf = (linkId: string) => mailedAddress(config, linkId)
  return {
    async asOfNow(tx, mails) {
      const waiting = mails.filter(isReminder)
      // Homes before people, as whoever makes two entries of a person one.
      await holdHomesOf(tx, waiting.map(idOf))
      const stopped = await whoStopped(
        tx,
        mails.flatMap(mail => mail.customerId ?? []),
      )
      const reminders = await remindersAsOfNow(tx, waiting, stopped, clock.now())
      const fill = (body: string) => fillPages(body, addressOf)
      return mails.map(mail => {
        const name = stopped.get(mail.customerId ?? '')
        if (name !== undefined) return { why: `${name} asked for no more mails.` }
        const letter = reminders.get(mail.id) ?? mail
        if ('why' in letter) return letter
        return { ...mail, ...letter, textBody: fill(letter.textBody), htmlBody: fill(letter.htmlBody) }
      })
    },
    linksOf: ({ linkId }) => ({
      page: linkId === null ? null : addressOf(linkId),
      unsubscribe: linkId === null ? null : config.publicUrl + paths.stopMails(tokenOf(linkId)),
    }),
    alsoSettling: noticesOfMail,
    async refused(tx, mail, reply) {
      if (mail.customerId !== null) await markRefused(tx, clock.now(), mail.customerId, reply)
    },
    async sender() {
      const { name, replyTo } = await readLetterhead(db, clock.now())
      return { from: `"${name.replaceAll(/["\\\r\n]/g, '')}" <${plain(config.mailFrom)}>`, replyTo: replyTo || null }
    },
  }
}

const plain = (from: string) => /<([^<>]+)>\s*$/.exec(from)?.[1] ?? from

const isReminder = (mail: KeptMail) => mail.kind === 'reminder'

/** The reminders as the facts are now, by mail; what has changed in them is kept, so that the outbox shows what was sent. */
async function remindersAsOfNow(
  tx: Tx,
  mails: readonly KeptMail[],
  stopped: ReadonlyMap<string, string>,
  now: number,
): Promise<ReadonlyMap<string, Letter | Gone>> {
  if (mails.length === 0) return new Map()
  const carried = await carriedNotices(tx, mails.map(idOf), now)
  await closeGone(tx, carried, now)
  const byMail = new Map(grouped(carried, notice => notice.mailId))
  const company = await readLetterhead(tx, now)
  const today = localDayOf(now, company.zone)
  const anew = mails.map((mail): [KeptMail, Letter | Gone] => {
    const notices = byMail.get(mail.id) ?? []
    const owed = notices.filter(notice => notice.why === null)
    if (owed.length === 0) return [mail, { why: notices[0]?.why ?? 'Nothing it was about is left.' }]
    const homes = grouped(owed.filter(isLinked), notice => notice.linkId)
    const linked = homes.map(([linkId, of]) => ({ linkId, owed: of }))
    return [mail, reminderMail({ company, name: mail.toName, homes: linked, today })]
  })
  const changed = anew.flatMap(([mail, letter]) => {
    const same = 'why' in letter || (letter.textBody === mail.textBody && letter.subject === mail.subject)
    return same || stopped.has(mail.customerId ?? '') ? [] : [{ id: mail.id, ...letter }]
  })
  if (changed.length > 0) await keepLetters(tx, changed)
  return new Map(anew.map(([mail, letter]) => [mail.id, letter]))
}

const idOf = ({ id }: KeptMail) => id

/** Closes the notices whose reason has gone, and takes up again those of a mail that was held or had failed. */
async function closeGone(tx: Tx, carried: readonly CarriedNotice[], now: number): Promise<void> {
  const gone = carried.filter(notice => notice.why !== null)
  // A rung whose day moved ahead was never sent: it comes again in its own time.
  const moved = gone.filter(notice => notice.why === 'Its day has moved.')
  if (moved.length > 0) await giveBack(tx, moved.map(noticeIdOf))
  for (const [why, notices] of grouped(gone, notice => notice.why))
    await settleNotices(tx, notices.map(noticeIdOf), 'dropped', why, now)
  const back = carried.filter(notice => notice.why === null && notice.state !== 'queued')
  if (back.length > 0) await settleNotices(tx, back.map(noticeIdOf), 'queued', null, now)
}

const noticeIdOf = ({ noticeId }: CarriedNotice) => noticeId
const isLinked = (notice: CarriedNotice): notice is CarriedNotice & { linkId: string } => notice.linkId !== null
