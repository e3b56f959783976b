import type { Role } from '../../platform/auth/actor.ts'
import type { Config } from '../../platform/config.ts'
import type { Database } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { FieldProblem } from '../../platform/http/forms.ts'
import { Problem } from '../../platform/http/problem.ts'
import type { Jobs } from '../../platform/jobs/queue.ts'
import { addStaff, setupSecret } from './add-staff.ts'
import { mailStaffLink } from './staff-mail.tsx'

type Invitation = { name: string; email: string; phone: string; roles: Role[] }
/** `secret` is to be handed over by whoever invited, where no mail can. */
export type Invited = { readonly secret: string | null } | { readonly taken: FieldProblem }

/** Adds a person and lets them set a password: by a mailed link, or by one that the inviter is shown. */
export async function inviteStaff(
  db: Database,
  act: Act,
  invited: Invitation,
  by: { config: Config; jobs: Jobs; mails: boolean; company: string },
): Promise<Invited> {
  try {
    return await db.transaction(async tx => {
      const id = await addStaff(tx, act, { ...invited, invitedAt: act.now })
      if (!by.mails) return { secret: await setupSecret(tx, act.now, id) }
      await mailStaffLink(tx, { ...act, ...by }, 'invitation', { id, ...invited })
      return { secret: null }
    })
  } catch (error) {
    if (error instanceof Problem && error.code === 'mail-taken')
      return { taken: { field: 'email', message: 'belongs to somebody of the company already' } }
    throw error
  }
}
