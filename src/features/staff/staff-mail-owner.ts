import type { Deps } from '../../platform/deps.ts'
import type { KeptMail } from '../../platform/mail/message.ts'
import type { Gone, MailOwner } from '../../platform/mail/send-mail.ts'
import { staffMailLink } from './staff-mail.tsx'
import { mailedSecret, openStaffToken } from './staff-token.ts'

const isOurs = (mail: KeptMail) => mail.kind.startsWith('staff-')

/** Fills and checks the mails to the company's own people, and leaves all others to their owner. */
export const withStaffMails = (others: MailOwner, { config, clock }: Pick<Deps, 'config' | 'clock'>): MailOwner => ({
  ...others,
  async asOfNow(tx, mails) {
    const known = new Map<KeptMail, KeptMail | Gone>()
    for (const mail of mails.filter(isOurs)) {
      const token = await openStaffToken(tx, mailedSecret(config.linkKeys[0]!, mail.id), clock.now())
      known.set(mail, token ? mail : gone)
    }
    const rest = mails.filter(mail => !isOurs(mail))
    for (const [i, now] of (await others.asOfNow(tx, rest)).entries()) known.set(rest[i]!, now)
    return mails.map(mail => known.get(mail)!)
  },
  linksOf: mail => (isOurs(mail) ? { page: staffMailLink(config, mail), unsubscribe: null } : others.linksOf(mail)),
  refused: async (tx, mail, reply) => (isOurs(mail) ? undefined : others.refused(tx, mail, reply)),
})

const gone: Gone = { why: 'Its link has been used, has expired, or the person no longer signs in.' }
