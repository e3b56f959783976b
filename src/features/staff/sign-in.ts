import type { Database, Db } from '../../platform/db/client.ts'
import { newId } from '../../platform/ids.ts'
import { newSessionSecret, sessionHashOf } from './find-session.ts'
import { admitAttempt, forgiveAttempts } from './guessing.ts'
import { passwordFits } from './password-hash.ts'
import { passwordHashOfStaff, staffByMail } from './queries.ts'
import { insertSession } from './session-queries.ts'

export type SignInInput = { email: string; password: string; address: string; userAgent: string; now: number }
export type SignInAnswer =
  | { readonly ok: true; readonly staffId: string; readonly session: NewSession }
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
  return { ok: true, staffId: person.id, session: await beginSession(db, person.id, input) }
}

export type NewSession = { readonly id: string; readonly secret: string }
type From = Pick<SignInInput, 'address' | 'userAgent' | 'now'>

/** Begins a session of a person who has shown who they are. */
export async function beginSession(db: Db, staffId: string, { address, userAgent, now }: From): Promise<NewSession> {
  const secret = newSessionSecret()
  const id = newId()
  await insertSession(db, now, {
    idHash: sessionHashOf(secret),
    id,
    staffId,
    userAgent: userAgent.slice(0, 300),
    address,
  })
  return { id, secret }
}

/** Whether somebody signed in knows their password; wrong tries count as at sign-in. */
export async function passwordConfirmed(
  db: Database,
  person: { id: string; email: string },
  password: string,
  seen: { address: string; now: number },
): Promise<'right' | 'wrong' | 'slowed'> {
  const attempt = { account: person.email, address: seen.address }
  if ((await admitAttempt(db, attempt, seen.now)) > 0) return 'slowed'
  if (!(await passwordFits(password, await passwordHashOfStaff(db, person.id)))) return 'wrong'
  await forgiveAttempts(db, attempt)
  return 'right'
}
