import { at, type Database, type Db, sql } from '../../platform/db/client.ts'
import { newId } from '../../platform/ids.ts'

const minute = 60_000
const day = 24 * 60 * minute
const window = 10 * minute
const longestWait = minute
const freeTriesOfAccount = 10
// Everyone of an office may share one address.
const freeTriesOfAddress = 60

export type Attempt = { readonly account: string; readonly address: string }

const lock = sql('guessing-lock', `select pg_advisory_xact_lock(hashtextextended('sign-in ' || $1, 0))`)

// From where a person has signed in before, only what was mistyped there counts: guessing from elsewhere can slow
// guessing, but never keeps the person out.
const tried = sql(
  'guessing-tried',
  `with known as (select exists(select from staff_session e join staff s on s.id = e.staff_id
     where s.email = $1 and e.address = $2 and e.created_at > $5) as here)
   select count(*) filter (where account = $1 and (address = $2 or not here))::int as "ofAccount",
     max(at) filter (where account = $1 and (address = $2 or not here)) as "accountAt",
     count(*) filter (where address = $2 and not here)::int as "ofAddress",
     max(at) filter (where address = $2 and not here) as "addressAt"
   from sign_in_failure, known where (account = $1 or address = $2) and at > $3 and at <= $4`,
)
const note = sql('guessing-note', 'insert into sign_in_failure (id, account, address, at) values ($1, $2, $3, $4)')
const forgive = sql('guessing-forgive', 'delete from sign_in_failure where account = $1 and address = $2')
const forget = sql('guessing-forget', 'delete from sign_in_failure where at < $1')

type Tried = { ofAccount: number; accountAt: number | null; ofAddress: number; addressAt: number | null }

/** How long to wait after so many wrong tries: nothing, then a second, doubled each time up to a minute. */
export const waitAfter = (wrong: number, free: number): number =>
  wrong < free ? 0 : Math.min(longestWait, 1000 * 2 ** (wrong - free))

/**
 * Counts an attempt to sign in before its password is looked at, so that many at once are counted too. Gives for how
 * many milliseconds to wait instead; 0 lets it through. `forgiveAttempts` takes it back when the password was right.
 */
export const admitAttempt = (db: Database, { account, address }: Attempt, now: number): Promise<number> =>
  db.transaction(async tx => {
    await tx.rows(lock, [account])
    const seen = await tx.one<Tried>(tried, [account, address, at(now - window), at(now), at(now - 30 * day)])
    const freeAt = Math.max(
      (seen?.accountAt ?? 0) + waitAfter(seen?.ofAccount ?? 0, freeTriesOfAccount),
      (seen?.addressAt ?? 0) + waitAfter(seen?.ofAddress ?? 0, freeTriesOfAddress),
    )
    if (freeAt > now) return freeAt - now
    await tx.rows(note, [newId(), account, address, at(now)])
    return 0
  })

export const forgiveAttempts = (db: Db, { account, address }: Attempt) => db.rows(forgive, [account, address])

/** Drops attempts that count no longer. */
export const forgetAttempts = (db: Db, now: number) => db.rows(forget, [at(now - day)])
