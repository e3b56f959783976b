import type { Role } from '../../platform/auth/actor.ts'
import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { insertStaff, staffByMail } from './queries.ts'
import { insertStaffToken, shownSecret } from './staff-token.ts'

export type StaffInput = {
  readonly email: string
  readonly name: string
  readonly roles: readonly Role[]
  readonly phone?: string
  /** From `passwordHashOf`; without one the person sets a password through a link. */
  readonly passwordHash?: string | null
  readonly invitedAt?: number | null
}

/** Adds a person of the company; gives their id. A mail address belongs to one person. */
export async function addStaff(tx: Tx, act: Act, input: StaffInput): Promise<string> {
  const email = input.email.trim().toLowerCase()
  if (await staffByMail(tx, email))
    throw problem(409, 'mail-taken', 'Somebody of the company has this mail address.', [
      { pointer: '/email', code: 'mail-taken', detail: 'belongs to somebody of the company already' },
    ])
  const id = newId()
  await insertStaff(tx, act.now, {
    id,
    email,
    name: input.name,
    roles: [...input.roles],
    phone: input.phone ?? '',
    passwordHash: input.passwordHash ?? null,
    invitedAt: input.invitedAt ?? null,
  })
  await recordWrite(tx, act, { action: 'create', noun: 'staff', id, version: 1 })
  return id
}

/** A one-time secret for the page that sets a password, to be shown to whoever may act for the person. Opens for 1 h. */
export async function setupSecret(tx: Tx, now: number, staffId: string): Promise<string> {
  const secret = shownSecret()
  await insertStaffToken(tx, now, { secret, staffId, purpose: 'setup' })
  return secret
}
