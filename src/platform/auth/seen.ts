import type { Actor } from './actor.ts'
import { hasRole } from './actor.ts'

/** Owner, office, an app granted all homes, the operator and the program itself see every home. */
export const seesAllHomes = (actor: Actor): boolean =>
  actor.kind === 'operator' ||
  actor.kind === 'system' ||
  (actor.kind === 'app' && actor.allHomes) ||
  hasRole(actor, 'owner', 'office')

/**
 * The four parameters of the permission that every query on a home carries, so that what is not the actor's is not
 * there: `($n or p.id in (select property_id from visible_home($n+1, $n+2, $n+3)))`.
 */
export const seen = (actor: Actor, now: number): [boolean, string, string | null, Date] => [
  seesAllHomes(actor),
  actor.kind,
  actor.id,
  new Date(now),
]

/** The condition itself, on the column that names the home, with its four parameters from `$n` on. */
export const seenSql = (homeColumn: string, n: number): string =>
  `($${n} or ${homeColumn} in (select property_id from visible_home($${n + 1}, $${n + 2}, $${n + 3})))`
