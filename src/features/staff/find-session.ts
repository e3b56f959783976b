import { createHash, randomBytes } from 'node:crypto'
import type { Actor, Role } from '../../platform/auth/actor.ts'
import type { Db } from '../../platform/db/client.ts'
import { endSession, endSessionsBefore, sessionByHash, touchSession } from './session-queries.ts'

const minute = 60_000
const hour = 60 * minute
const day = 24 * hour

/** A session ends this long after sign-in, used or not. */
export const absoluteLifetime = 30 * day
/** How long a session may lie unused. A crew's phone stays signed in for a week, a desk for half a day. */
export const idleLifetime = (roles: readonly Role[]): number =>
  roles.every(role => role === 'crew') ? 7 * day : 12 * hour

export const newSessionSecret = (): string => randomBytes(32).toString('base64url')
export const sessionHashOf = (secret: string): Buffer => createHash('sha256').update(secret).digest()

export type StaffSession = { readonly actor: Extract<Actor, { kind: 'staff' }>; readonly confirmedAt: number }

/** Whose session a cookie is of, or null. One that lay too long is ended, so that a clock set back does not revive it. */
export async function findSession(db: Db, secret: string, now: number): Promise<StaffSession | null> {
  const found = await sessionByHash(db, sessionHashOf(secret))
  if (!found) return null
  if (now >= found.createdAt + absoluteLifetime || now >= found.seenAt + idleLifetime(found.roles)) {
    await endSession(db, found.staffId, found.id, now)
    return null
  }
  if (now >= found.seenAt + minute) await touchSession(db, found.id, now)
  const actor = { kind: 'staff', id: found.staffId, name: found.name, roles: found.roles, sessionId: found.id } as const
  return { actor, confirmedAt: found.confirmedAt }
}

/** Ends what has lapsed although nobody came back to it: no clock set back later revives it. */
export const endLapsedSessions = (db: Db, now: number) =>
  endSessionsBefore(db, now, {
    begun: now - absoluteLifetime,
    usedByCrew: now - idleLifetime(['crew']),
    used: now - idleLifetime(['office']),
  })
