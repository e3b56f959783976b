import { randomBytes } from 'node:crypto'
import { join } from 'node:path'
import { readPrivate, writePrivate } from './private-file.ts'

type Secrets = { readonly [name: string]: string }

/**
 * Secrets for a start without any: made once, kept under `dataDir` for the owner only, the same at the next start.
 * Production gives its own in the environment; see the configuration.
 * @param makers how each is made, by the name of its environment variable.
 */
export function localSecrets(dataDir: string, makers: { readonly [name: string]: () => string }): Secrets {
  const file = join(dataDir, 'secrets.json')
  const kept = readPrivate<Secrets>(file) ?? {}
  const missing = Object.keys(makers).filter(name => !kept[name])
  if (missing.length === 0) return kept
  const secrets = { ...kept, ...Object.fromEntries(missing.map(name => [name, makers[name]!()])) }
  writePrivate(file, secrets)
  return secrets
}

/** 256 random bits. */
export const randomKey = (): string => randomBytes(32).toString('base64url')
