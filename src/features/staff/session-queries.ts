import type { Instant } from '../../domain/facts.ts'
import type { Role } from '../../platform/auth/actor.ts'
import { at, type Db, sql } from '../../platform/db/client.ts'

export type Session = {
  id: string
  createdAt: Instant
  seenAt: Instant
  confirmedAt: Instant
  userAgent: string
  address: string
}
export type FoundSession = Session & { staffId: string; name: string; roles: Role[] }

const columns = `e.id, e.created_at as "createdAt", e.seen_at as "seenAt", e.confirmed_at as "confirmedAt",
  e.user_agent as "userAgent", e.address`

const insert = sql(
  'session-insert',
  `insert into staff_session (id_hash, id, staff_id, created_at, seen_at, confirmed_at, user_agent, address)
   values ($1, $2, $3, $4, $4, $4, $5, $6)`,
)
export const insertSession = (
  db: Db,
  now: number,
  session: { idHash: Buffer; id: string; staffId: string; userAgent: string; address: string },
) => db.rows(insert, [session.idHash, session.id, session.staffId, at(now), session.userAgent, session.address])

const byHash = sql(
  'session-by-hash',
  `select ${columns}, e.staff_id as "staffId", s.name, s.roles from staff_session e join staff s on s.id = e.staff_id
    where e.id_hash = $1 and e.ended_at is null and s.disabled_at is null`,
)
export const sessionByHash = (db: Db, idHash: Buffer) => db.one<FoundSession>(byHash, [idHash])

const ofStaff = sql(
  'session-of-staff',
  `select ${columns} from staff_session e where e.staff_id = $1 and e.ended_at is null and e.created_at > $2
    order by e.seen_at desc, e.id`,
)
/** Sessions of a person that have not ended, begun after `since`; the last used first. */
export const openSessions = (db: Db, staffId: string, since: number) => db.rows<Session>(ofStaff, [staffId, at(since)])

const touch = sql('session-touch', 'update staff_session set seen_at = $2 where id = $1 and seen_at < $2')
export const touchSession = (db: Db, sessionId: string, now: number) => db.rows(touch, [sessionId, at(now)])

const confirm = sql('session-confirm', 'update staff_session set confirmed_at = $2 where id = $1 and ended_at is null')
export const markConfirmed = (db: Db, sessionId: string, now: number) => db.rows(confirm, [sessionId, at(now)])

const end = sql(
  'session-end',
  'update staff_session set ended_at = $3 where id = $2 and staff_id = $1 and ended_at is null returning id',
)
/** Ends one session of a person; false when they have no such open session. */
export const endSession = async (db: Db, staffId: string, sessionId: string, now: number): Promise<boolean> =>
  (await db.one(end, [staffId, sessionId, at(now)])) !== null

const lapsed = sql(
  'session-end-lapsed',
  `update staff_session e set ended_at = $1 from staff s
    where s.id = e.staff_id and e.ended_at is null
      and (e.created_at <= $2 or e.seen_at <= case when s.roles <@ array['crew'] then $3::timestamptz else $4 end)`,
)
/** Ends the sessions begun before one instant or last used before another, which for those who are crew alone is its own. */
export const endSessionsBefore = (
  db: Db,
  now: number,
  before: { readonly begun: number; readonly usedByCrew: number; readonly used: number },
) => db.rows(lapsed, [at(now), at(before.begun), at(before.usedByCrew), at(before.used)])

const endAll = sql(
  'session-end-all',
  `update staff_session set ended_at = $2
    where staff_id = $1 and ended_at is null and id is distinct from $3::uuid returning id`,
)
/** Ends all sessions of a person but one that is to stay; gives how many. */
export const endSessions = async (db: Db, staffId: string, now: number, but: string | null): Promise<number> =>
  (await db.rows(endAll, [staffId, at(now), but])).length
