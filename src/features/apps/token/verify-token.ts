import { createLocalJWKSet, errors, type JWTPayload, type JWTVerifyGetKey, jwtVerify } from 'jose'
import { tokenAlgorithm } from '../../../platform/auth/token-keys.ts'
import type { TokenIssuer } from './issue-token.ts'

/** Seconds by which two clocks may differ. */
export const leeway = 30

export type TokenClaims = {
  readonly clientId: string
  readonly jti: string
  readonly secretId: string
  readonly scopes: readonly string[]
  /** Epoch milliseconds. */
  readonly expiresAt: number
}

export const hasLapsed = ({ expiresAt }: TokenClaims, now: number): boolean => now >= expiresAt + leeway * 1000

/**
 * The claims of a token of our own, lapsed or not, or null: one algorithm, our keys by their id (what a header says of
 * keys elsewhere is not looked at), type, issuer, audience, subject, issued by now (RFC 8725, RFC 9068 section 4).
 * @param now epoch milliseconds.
 */
export async function verifyToken(from: TokenIssuer, token: string, now: number): Promise<TokenClaims | null> {
  try {
    const payload = await payloadOf(from, token, now)
    const { sub, jti, exp, iat, client_id: clientId, scope, secret_id: secretId } = payload
    if (typeof clientId !== 'string' || typeof scope !== 'string' || typeof secretId !== 'string') return null
    if (sub !== clientId || !jti || !exp || !iat || iat * 1000 > now + leeway * 1000) return null
    return { clientId, jti, secretId, scopes: scope.split(' ').filter(Boolean), expiresAt: exp * 1000 }
  } catch (error) {
    if (error instanceof errors.JOSEError) return null
    throw error
  }
}

async function payloadOf(from: TokenIssuer, token: string, now: number): Promise<JWTPayload> {
  try {
    const { payload } = await jwtVerify(token, ownKey(from), {
      algorithms: [tokenAlgorithm],
      typ: 'at+jwt',
      issuer: from.origin,
      audience: from.origin,
      currentDate: new Date(now),
      clockTolerance: leeway,
      requiredClaims: ['sub', 'jti', 'iat', 'exp', 'client_id', 'scope', 'secret_id'],
    })
    return payload
  } catch (error) {
    // The end is looked at last: all else of such a token was found good.
    if (error instanceof errors.JWTExpired) return error.payload
    throw error
  }
}

function ownKey({ keys }: TokenIssuer): JWTVerifyGetKey {
  const published = createLocalJWKSet({ keys: [...keys.jwks.keys] })
  // By its id alone: a key that the header brings along or points to is not looked at.
  return ({ alg, kid }) => {
    if (!kid) throw new errors.JWKSNoMatchingKey()
    return published({ alg, kid })
  }
}
