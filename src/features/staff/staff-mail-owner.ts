import type { Deps } from '../../platform/deps.ts'
import type { KeptMail } from '../../platform/mail/message.ts'
import type { MailOwner } from '../../platform/mail/send-mail.ts'
import { staffMailLink } from './staff-mail.tsx'
import { mailedSecret, openStaffToken } from './staff-token.ts'

const isOurs = (mail: KeptMail) => mail.kind.startsWith('staff-')

/** Fills and checks the mails to the company's own people, and leaves all others to their owner. */
export const withStaffMails = (others: MailOwner, { config, clock }: Pick<Deps, 'config' | 'clock'>): MailOwner => ({
  ...others,
  async asOfNow(tx, mail) {
    if (!isOurs(mail)) return others.asOfNow(tx, mail)
    const token = await openStaffToken(tx, mailedSecret(config.linkKeys[0]!, mail.id), clock.now())
    return token ? mail : { why: 'Its link has been used, has expired, or the person no longer signs in.' }
  },
  linksOf: mail => (isOurs(mail) ? { page: staffMailLink(config, mail), unsubscribe: null } : others.linksOf(mail)),
  settled: async (tx, mail, outcome) => (isOurs(mail) ? undefined : others.settled(tx, mail, outcome)),
})
