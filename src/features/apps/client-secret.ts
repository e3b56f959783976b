import { createHash, randomBytes, timingSafeEqual } from 'node:crypto'

/** Begins every secret, so that a scanner of repositories can tell a leaked one. */
export const secretPrefix = 'underslab_secret_'

/** 256 random bits behind the prefix. It is shown once; only its hash is kept. */
export const newClientSecret = (): string => secretPrefix + randomBytes(32).toString('base64url')
export const newClientId = (): string => `app_${randomBytes(12).toString('hex')}`

// A fast hash does for 256 random bits: there is nothing to guess.
export const clientSecretHash = (secret: string): Buffer => createHash('sha256').update(secret).digest()

export const isSecret = (secret: string, hash: Buffer): boolean => timingSafeEqual(clientSecretHash(secret), hash)
