import { at, type Db, sql } from '../../../platform/db/client.ts'
import type { App } from '../queries.ts'
import type { Parameters } from './check-parameters.ts'
import type { TokenIssuer } from './issue-token.ts'
import { OAuthError } from './oauth-error.ts'
import { leeway, type TokenClaims, verifyToken } from './verify-token.ts'

const insert = sql(
  'revoked-token-insert',
  'insert into revoked_token (jti, expires_at) values ($1, $2) on conflict (jti) do nothing',
)
const forget = sql('revoked-token-forget', 'delete from revoked_token where expires_at < $1')

/** Keeps in the database that a token holds no more, so that a clock set back does not revive it. */
export const endToken = (db: Db, { jti, expiresAt }: Pick<TokenClaims, 'jti' | 'expiresAt'>) =>
  db.rows(insert, [jti, at(expiresAt + leeway * 1000)])

/**
 * Withdraws a token of this client. One that is unknown, spent or another's is none to withdraw, and the answer is the
 * same (RFC 7009, section 2.2). Only access tokens exist, so `token_type_hint` has nothing to hint at.
 */
export async function revokeToken(
  db: Db,
  from: TokenIssuer,
  app: Pick<App, 'clientId'>,
  parameters: Parameters,
  now: number,
): Promise<void> {
  if (parameters.token === undefined) throw new OAuthError('invalid_request', 'token is missing.')
  const claims = await verifyToken(from, parameters.token, now)
  if (claims?.clientId !== app.clientId) return
  await endToken(db, claims)
}

const day = 86_400_000
/** Drops the ends of tokens that no clock set back by less than two days would let in. */
export const forgetRevocations = (db: Db, now: number) => db.rows(forget, [at(now - 2 * day)])
