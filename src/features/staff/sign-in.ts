import type { Database } from '../../platform/db/client.ts'
import { newId } from '../../platform/ids.ts'
import { newSessionSecret, sessionHashOf } from './find-session.ts'
import { admitAttempt, forgiveAttempts } from './guessing.ts'
import { passwordFits } from './password-hash.ts'
import { passwordHashOfStaff, staffByMail } from './queries.ts'
import { insertSession } from './session-queries.ts'

export type SignInInput = { email: string; password: string; address: string; userAgent: string; now: number }
export type SignInAnswer =
  | { readonly ok: true; readonly staffId: string; readonly secret: string }
  | { readonly ok: false; readonly because: 'wrong' }
  | { readonly ok: false; readonly because: 'slowed'; readonly waitMs: number }

/**
 * Checks a mail address and password and begins a session; its secret goes into the cookie and nowhere else.
 * Nobody's address, one without a password and one that is disabled take the time of a wrong password.
 */
export async function signIn(db: Database, input: SignInInput): Promise<SignInAnswer> {
  const attempt = { account: input.email, address: input.address }
  const waitMs = await admitAttempt(db, attempt, input.now)
  if (waitMs > 0) return { ok: false, because: 'slowed', waitMs }
  const person = await staffByMail(db, input.email)
  const kept = await passwordHashOfStaff(db, person?.id ?? null)
  if (!(await passwordFits(input.password, kept)) || !person) return { ok: false, because: 'wrong' }
  await forgiveAttempts(db, attempt)
  const secret = newSessionSecret()
  await insertSession(db, input.now, {
    idHash: sessionHashOf(secret),
    id: newId(),
    staffId: person.id,
    userAgent: input.userAgent.slice(0, 300),
    address: input.address,
  })
  return { ok: true, staffId: person.id, secret }
}
