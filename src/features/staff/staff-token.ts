import { createHash, createHmac, randomBytes } from 'node:crypto'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'

const hour = 3_600_000
export type TokenPurpose = 'invitation' | 'password' | 'setup'

/** How long each one-time link opens. */
export const tokenLifetime: { readonly [purpose in TokenPurpose]: number } = {
  invitation: 7 * 24 * hour,
  password: hour,
  setup: hour,
}

/** The secret of a link that is shown once and mailed to nobody. */
export const shownSecret = (): string => randomBytes(32).toString('base64url')

/**
 * The secret of a mailed link: made from the mail's id under the link key, so that a mail which waits to be sent, or is
 * sent again, holds nothing that opens.
 */
export const mailedSecret = (linkKey: string, mailId: string): string =>
  createHmac('sha256', linkKey).update(`staff-mail ${mailId}`).digest('base64url')

const hashOf = (secret: string) => createHash('sha256').update(secret).digest()

const insert = sql(
  'staff-token-insert',
  'insert into staff_token (secret_hash, staff_id, purpose, expires_at) values ($1, $2, $3, $4)',
)
/** Lets a secret set the password of a person, once, until it expires. */
export const insertStaffToken = (
  tx: Tx,
  now: number,
  token: { secret: string; staffId: string; purpose: TokenPurpose },
) => tx.rows(insert, [hashOf(token.secret), token.staffId, token.purpose, at(now + tokenLifetime[token.purpose])])

export type OpenToken = { staffId: string; purpose: TokenPurpose; name: string; email: string }

const live = `from staff_token t join staff s on s.id = t.staff_id
  where t.secret_hash = $1 and t.used_at is null and t.expires_at > $2 and s.disabled_at is null`
const columns = 't.staff_id as "staffId", t.purpose, s.name, s.email'
const open = sql('staff-token-open', `select ${columns} ${live}`)
const lock = sql('staff-token-lock', `select ${columns} ${live} for update of t`)

/** Whose password a secret may set now, or null. Looking does not use it up. */
export const openStaffToken = (db: Db, secret: string, now: number) =>
  db.one<OpenToken>(open, [hashOf(secret), at(now)])
/** The same, held until the transaction ends. */
export const lockStaffToken = (tx: Tx, secret: string, now: number) =>
  tx.one<OpenToken>(lock, [hashOf(secret), at(now)])

const useUp = sql('staff-token-use', 'update staff_token set used_at = $2 where staff_id = $1 and used_at is null')
/** Uses up every link of a person: a password that was just set makes the others void. */
export const useUpTokens = (tx: Tx, staffId: string, now: number) => tx.rows(useUp, [staffId, at(now)])

const endLapsed = sql(
  'staff-token-end-lapsed',
  'update staff_token set used_at = $1 where used_at is null and expires_at <= $1',
)
/** Uses up links that have expired, so that a clock set back does not open them again. */
export const endLapsedTokens = (tx: Tx, now: number) => tx.rows(endLapsed, [at(now)])

const recent = sql(
  'staff-token-recent',
  `select count(*)::int as n from staff_token where staff_id = $1 and purpose = 'password' and expires_at > $2`,
)
/** How many links to a new password a person was sent that still open or were used within the hour. */
export const recentPasswordLinks = async (db: Db, staffId: string, now: number): Promise<number> =>
  (await db.one<{ n: number }>(recent, [staffId, at(now)]))?.n ?? 0
