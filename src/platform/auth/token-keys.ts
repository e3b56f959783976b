import { createPrivateKey, createPublicKey, type KeyObject } from 'node:crypto'
import { calculateJwkThumbprint, exportJWK, type JWK } from 'jose'

export const tokenAlgorithm = 'EdDSA'

export type TokenKeys = {
  /** Signs; the first of the configured keys. */
  readonly signing: { readonly kid: string; readonly key: KeyObject }
  /** Public halves of all configured keys, as published. */
  readonly jwks: { readonly keys: readonly JWK[] }
}

/** Reads the configured Ed25519 keys (JWK or PKCS #8 PEM); throws with words when one is none. */
export async function tokenKeysFrom(configured: readonly string[]): Promise<TokenKeys> {
  const pairs = await Promise.all(configured.map(readKey))
  return { signing: pairs[0]!, jwks: { keys: pairs.map(pair => pair.publicJwk) } }
}

async function readKey(text: string) {
  const key = privateKeyIn(text)
  const jwk = await exportJWK(createPublicKey(key))
  const kid = await calculateJwkThumbprint(jwk)
  return { key, kid, publicJwk: { ...jwk, kid, alg: tokenAlgorithm, use: 'sig' } satisfies JWK }
}

/** What is said of a variable that holds no key; what was in it must not reach a log. */
export const noSigningKey = (name: string): string =>
  `${name} is no Ed25519 private key: give it as a JWK or as PKCS #8 PEM`

export const isSigningKey = (text: string): boolean => ed25519In(text) !== null

function privateKeyIn(text: string): KeyObject {
  const key = ed25519In(text)
  if (key === null) throw new Error(noSigningKey('TOKEN_SIGNING_KEY'))
  return key
}

function ed25519In(text: string): KeyObject | null {
  try {
    const key = text.trimStart().startsWith('{')
      ? createPrivateKey({ key: JSON.parse(text), format: 'jwk' })
      : createPrivateKey(text.replaceAll('\\n', '\n'))
    return key.asymmetricKeyType === 'ed25519' ? key : null
  } catch {
    return null
  }
}
