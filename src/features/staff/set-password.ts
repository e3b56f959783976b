import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import { setPasswordHash } from './queries.ts'
import { endSessions } from './session-queries.ts'
import { lockStaffToken, type OpenToken, useUpTokens } from './staff-token.ts'

/** What a used, expired or made-up link answers: one text for all. */
export const linkIsSpent = () =>
  problem(404, 'link-spent', 'This link has been used or has expired. Ask for a new one from the sign-in page.')

/** Sets the password a one-time link is for; all of the person's links and sessions end with it. */
export async function setPassword(
  tx: Tx,
  act: Pick<Act, 'now' | 'requestId'>,
  input: { secret: string; passwordHash: string },
): Promise<OpenToken> {
  const token = await lockStaffToken(tx, input.secret, act.now)
  if (!token) throw linkIsSpent()
  await replacePassword(tx, act, token.staffId, { passwordHash: input.passwordHash, keepSession: null })
  return token
}

/** Replaces a person's password; their other sessions and open links end. */
export async function replacePassword(
  tx: Tx,
  act: Pick<Act, 'now' | 'requestId'>,
  staffId: string,
  input: { passwordHash: string; keepSession: string | null },
): Promise<void> {
  await setPasswordHash(tx, act.now, staffId, input.passwordHash)
  await useUpTokens(tx, staffId, act.now)
  await endSessions(tx, staffId, act.now, input.keepSession)
  const self = { kind: 'staff', id: staffId, name: '', roles: [], sessionId: '' } as const
  await recordWrite(
    tx,
    { ...act, actor: self },
    { action: 'correct', noun: 'staff', id: staffId, fields: ['password'] },
  )
}
