import { createPrivateKey, createPublicKey, generateKeyPairSync, type JsonWebKey, type KeyObject } from 'node:crypto'
import { calculateJwkThumbprint } from 'jose'

export const algorithm = 'ES256'

export type PublicJwk = JsonWebKey & { readonly kid: string; readonly alg: string; readonly use: 'sig' }
export type SigningKeys = {
  /** The first of the set signs. */
  readonly signing: { readonly kid: string; readonly key: KeyObject }
  /** All of the set are believed, so that a new first one can be put before the old. */
  readonly believed: ReadonlyMap<string, KeyObject>
  readonly jwks: { readonly keys: readonly PublicJwk[] }
}

/** A new private key as the text that the configuration holds: a JWK set (RFC 7517) of one P-256 key. */
export function newSigningKeys(): string {
  const { privateKey } = generateKeyPairSync('ec', { namedCurve: 'P-256' })
  return JSON.stringify({ keys: [privateKey.export({ format: 'jwk' })] })
}

/**
 * Reads the configured JWK set. A key's id is its thumbprint (RFC 7638).
 * @throws when it is no set of private P-256 keys.
 */
export async function signingKeysOf(text: string): Promise<SigningKeys> {
  const { keys } = JSON.parse(text) as { keys: JsonWebKey[] }
  const read = await Promise.all(keys.map(readKey))
  const first = read[0]
  if (!first) throw new Error('The set of signing keys is empty.')
  return {
    signing: { kid: first.jwk.kid, key: first.privateKey },
    believed: new Map(read.map(({ jwk, publicKey }) => [jwk.kid, publicKey])),
    jwks: { keys: read.map(({ jwk }) => jwk) },
  }
}

async function readKey(given: JsonWebKey) {
  if (given.kty !== 'EC' || given.crv !== 'P-256' || !given.d) throw new Error('A signing key is no private P-256 key.')
  const privateKey = createPrivateKey({ key: given, format: 'jwk' })
  const publicKey = createPublicKey(privateKey)
  const { kty, crv, x, y } = publicKey.export({ format: 'jwk' })
  const kid = await calculateJwkThumbprint({ kty, crv, x, y } as Parameters<typeof calculateJwkThumbprint>[0])
  const jwk: PublicJwk = { kty, crv, x, y, kid, alg: algorithm, use: 'sig' }
  return { jwk, privateKey, publicKey }
}
