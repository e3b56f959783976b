import { SignJWT } from 'jose'
import { newId } from '../../../platform/ids.ts'
import { algorithm, type SigningKeys } from '../signing-keys.ts'
import type { AuthenticatedClient } from './authenticate-client.ts'

/** Seconds that an access token lives. */
export const tokenLifetime = 15 * 60

export type TokenIssuer = { readonly keys: SigningKeys; readonly issuer: string; readonly audience: string }

/** An access token as RFC 9068 lays it out. It names the secret it was given for, so that it ends with it. */
export const issueToken = (
  { keys, issuer, audience }: TokenIssuer,
  { app, secretId }: AuthenticatedClient,
  scopes: readonly string[],
  now: number,
): Promise<string> => {
  const issuedAt = Math.floor(now / 1000)
  return new SignJWT({ client_id: app.clientId, scope: scopes.join(' '), secret_id: secretId })
    .setProtectedHeader({ alg: algorithm, typ: 'at+jwt', kid: keys.signing.kid })
    .setIssuer(issuer)
    .setAudience(audience)
    .setSubject(app.clientId)
    .setJti(newId())
    .setIssuedAt(issuedAt)
    .setExpirationTime(issuedAt + tokenLifetime)
    .sign(keys.signing.key)
}
