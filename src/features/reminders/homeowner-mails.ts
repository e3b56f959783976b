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
import { keepLetter, personOf, settleNoticesByMail } from './mail-queries.ts'
import { mailedAddress } from './mailed-address.ts'
import { type CarriedNotice, carriedNotices, giveBack, settleNotices } from './notice-queries.ts'
import { reminderMail } from './reminder-mail.tsx'

/** Notes that a server refused a person's address for good, in its own words: the write of another feature. */
export type MarkRefused = (tx: Tx, now: number, customerId: string, reply: string) => Promise<unknown>

/** How mails to homeowners are checked, filled and settled. What has gone in the meantime is not sent. */
export function homeownerMails({ clock, config, db }: Deps, markRefused: MarkRefused): MailOwner {
  const tokenOf = (linkId: string) => linkTokenFor(config.linkKeys, linkId)
  const addressOf = (linkId: string) => mailedAddress(config, linkId)
  return {
    async asOfNow(tx, mail) {
      const person = mail.customerId === null ? null : await personOf(tx, mail.customerId)
      const owed = mail.kind === 'reminder' ? await stillOwed(tx, mail, clock.now()) : null
      if (person?.stopped) return { why: `${person.name} asked for no more mails.` }
      if (owed && 'why' in owed) return owed
      const letter = owed ? await anew(tx, mail, owed, clock.now()) : mail
      const fill = (body: string) => fillPages(body, addressOf)
      return { ...mail, ...letter, textBody: fill(letter.textBody), htmlBody: fill(letter.htmlBody) }
    },
    linksOf: ({ linkId }) => ({
      page: linkId === null ? null : addressOf(linkId),
      unsubscribe: linkId === null ? null : config.publicUrl + paths.stopMails(tokenOf(linkId)),
    }),
    async settled(tx, mail, outcome) {
      await settleNoticesByMail(tx, mail.id, clock.now())
      if (outcome.kind === 'permanent' && mail.customerId !== null)
        await markRefused(tx, clock.now(), mail.customerId, outcome.reply)
    },
    async sender() {
      const { name, replyTo } = await readLetterhead(db)
      return { from: `"${name.replaceAll(/["\\\r\n]/g, '')}" <${plain(config.mailFrom)}>`, replyTo: replyTo || null }
    },
  }
}

const plain = (from: string) => /<([^<>]+)>\s*$/.exec(from)?.[1] ?? from

/** Closes the notices whose reason has gone; gives the others, or the first reason when none is left to send. */
async function stillOwed(tx: Tx, mail: KeptMail, now: number): Promise<readonly CarriedNotice[] | Gone> {
  const carried = await carriedNotices(tx, mail.id, now)
  const gone = carried.filter(notice => notice.why !== null)
  // A rung whose day moved ahead was never sent: it comes again in its own time.
  const moved = gone.filter(notice => notice.why === 'Its day has moved.')
  if (moved.length > 0)
    await giveBack(
      tx,
      moved.map(notice => notice.noticeId),
    )
  for (const { noticeId, why } of gone) await settleNotices(tx, [noticeId], 'dropped', why, now)
  const owed = carried.filter(notice => notice.why === null)
  // Sent again from the outbox after it was held or had failed.
  const back = owed.filter(notice => notice.state !== 'queued').map(notice => notice.noticeId)
  if (back.length > 0) await settleNotices(tx, back, 'queued', null, now)
  return owed.length > 0 ? owed : { why: gone[0]?.why ?? 'Nothing it was about is left.' }
}

/** The reminder as the facts are now; kept, so that the outbox shows what was sent. */
async function anew(tx: Tx, mail: KeptMail, owed: readonly CarriedNotice[], now: number): Promise<Letter> {
  const company = await readLetterhead(tx)
  const letter = reminderMail({
    company,
    name: mail.toName,
    homes: grouped(owed.filter(isLinked), notice => notice.linkId).map(([linkId, notices]) => ({
      linkId,
      owed: notices,
    })),
    today: localDayOf(now, company.zone),
  })
  if (letter.textBody !== mail.textBody || letter.subject !== mail.subject) await keepLetter(tx, mail.id, letter)
  return letter
}

const isLinked = (notice: CarriedNotice): notice is CarriedNotice & { linkId: string } => notice.linkId !== null
