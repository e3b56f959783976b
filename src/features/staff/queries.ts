import type { Instant } from '../../domain/facts.ts'
import type { Role } from '../../platform/auth/actor.ts'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'

export type Person = {
  id: string
  email: string
  name: string
  roles: Role[]
  phone: string
  hasPassword: boolean
  invitedAt: Instant | null
  disabledAt: Instant | null
  version: number
}

const columns = `s.id, s.email, s.name, s.roles, s.phone,
  s.password_hash is not null as "hasPassword", s.invited_at as "invitedAt", s.disabled_at as "disabledAt", s.version`

const all = sql(
  'staff-all',
  `select ${columns}, (select max(e.seen_at) from staff_session e where e.staff_id = s.id) as "seenAt"
    from staff s order by s.disabled_at is not null, s.name, s.id`,
)
/** Everyone of the company by name, those who may no longer sign in last. */
export const listStaff = (db: Db) => db.rows<Person & { seenAt: Instant | null }>(all)

const byId = sql('staff-by-id', `select ${columns} from staff s where s.id = $1`)
export const staffById = (db: Db, staffId: string) => db.one<Person>(byId, [staffId])

const byMail = sql('staff-by-mail', `select ${columns} from staff s where s.email = $1`)
export const staffByMail = (db: Db, email: string) => db.one<Person>(byMail, [email])

const lockAll = sql('staff-lock-all', `select ${columns} from staff s order by s.id for update`)
/** Locks and reads everyone: the company always keeps an owner, which no row alone can tell. */
export const lockStaff = (tx: Tx) => tx.rows<Person>(lockAll)

const hashOf = sql(
  'staff-password-hash',
  `select password_hash as kept from staff where id = $1 and disabled_at is null`,
)
export const passwordHashOfStaff = async (db: Db, staffId: string | null): Promise<string | null> =>
  (await db.one<{ kept: string | null }>(hashOf, [staffId]))?.kept ?? null

const insert = sql(
  'staff-insert',
  `insert into staff (id, email, name, roles, phone, password_hash, invited_at, created_at, updated_at)
   values ($1, $2, $3, $4, $5, $6, $7, $8, $8)`,
)
export type NewPerson = Pick<Person, 'id' | 'email' | 'name' | 'roles' | 'phone' | 'invitedAt'> & {
  passwordHash: string | null
}
export const insertStaff = (tx: Tx, now: number, person: NewPerson) =>
  tx.rows(insert, [
    person.id,
    person.email,
    person.name,
    person.roles,
    person.phone,
    person.passwordHash,
    person.invitedAt === null ? null : at(person.invitedAt),
    at(now),
  ])

const update = sql(
  'staff-update',
  `update staff set name = $2, roles = $3, phone = $4, disabled_at = $5,
     version = version + 1, updated_at = $6 where id = $1`,
)
export const updateStaff = (
  tx: Tx,
  now: number,
  person: Omit<Person, 'email' | 'hasPassword' | 'invitedAt' | 'version'>,
) =>
  tx.rows(update, [
    person.id,
    person.name,
    person.roles,
    person.phone,
    person.disabledAt === null ? null : at(person.disabledAt),
    at(now),
  ])

const setHash = sql('staff-set-password', 'update staff set password_hash = $2, updated_at = $3 where id = $1')
export const setPasswordHash = (tx: Tx, now: number, staffId: string, passwordHash: string) =>
  tx.rows(setHash, [staffId, passwordHash, at(now)])
