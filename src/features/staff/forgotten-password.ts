import { setTimeout as pause } from 'node:timers/promises'
import type { Config } from '../../platform/config.ts'
import type { Database } from '../../platform/db/client.ts'
import type { Jobs } from '../../platform/jobs/queue.ts'
import { staffByMail } from './queries.ts'
import { mailStaffLink } from './staff-mail.tsx'
import { recentPasswordLinks } from './staff-token.ts'

const linksAnHour = 3
// Longer than the work takes, so that the time tells nothing of whether the address is known.
const atLeastMs = 400

/** Mails a link to a new password, if the address is somebody's; takes the same time when it is not. */
export async function forgottenPassword(
  db: Database,
  asked: { email: string; now: number; requestId: string; config: Config; jobs: Jobs; company: string },
): Promise<void> {
  const [, sent] = await Promise.allSettled([pause(atLeastMs), mailLink(db, asked)])
  if (sent?.status === 'rejected') throw sent.reason
}

const mailLink = (db: Database, asked: Parameters<typeof forgottenPassword>[1]): Promise<void> =>
  db.transaction(async tx => {
    const person = await staffByMail(tx, asked.email)
    if (!person || person.disabledAt !== null) return
    if ((await recentPasswordLinks(tx, person.id, asked.now)) >= linksAnHour) return
    await mailStaffLink(tx, asked, person.hasPassword ? 'password' : 'invitation', person)
  })
