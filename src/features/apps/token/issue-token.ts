import { SignJWT } from 'jose'
import { type TokenKeys, tokenAlgorithm } from '../../../platform/auth/token-keys.ts'
import { newId } from '../../../platform/ids.ts'
import type { AuthenticatedClient } from './authenticate-client.ts'

/** Seconds that an access token lives. */
export const tokenLifetime = 15 * 60

/** `origin` is both who issues and what the token is for: the service is its own and only resource. */
export type TokenIssuer = { readonly keys: TokenKeys; readonly origin: string }

/** An access token as RFC 9068 lays it out. It names the secret it was given for, so that it ends with it. */
export const issueToken = (
  { keys, origin }: TokenIssuer,
  { app, secretId }: AuthenticatedClient,
  scopes: readonly string[],
  now: number,
): Promise<string> => {
  const issuedAt = Math.floor(now / 1000)
  return new SignJWT({ client_id: app.clientId, scope: scopes.join(' '), secret_id: secretId })
    .setProtectedHeader({ alg: tokenAlgorithm, typ: 'at+jwt', kid: keys.signing.kid })
    .setIssuer(origin)
    .setAudience(origin)
    .setSubject(app.clientId)
    .setJti(newId())
    .setIssuedAt(issuedAt)
    .setExpirationTime(issuedAt + tokenLifetime)
    .sign(keys.signing.key)
}
