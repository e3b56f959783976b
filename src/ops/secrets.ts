import { randomBytes } from 'node:crypto'
import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { readPrivate, writePrivate } from './private-file.ts'

type Secrets = { readonly [name: string]: string }

/**
 * Secrets for a start without any: made once, kept under `dataDir` for the owner only, the same at the next start.
 * Production gives its own in the environment; see the configuration.
 * @param makers how each is made, by the name of its environment variable.
 */
export function localSecrets(dataDir: string, makers: { readonly [name: string]: () => string }): Secrets {
  mkdirSync(dataDir, { recursive: true, mode: 0o711 })
  const file = join(dataDir, 'secrets.json')
  const kept = readPrivate<Secrets>(file) ?? {}
  const secrets = Object.fromEntries(Object.entries(makers).map(([name, make]) => [name, kept[name] ?? make()]))
  if (Object.keys(secrets).some(name => !kept[name])) writePrivate(file, { ...kept, ...secrets })
  return secrets
}

/** 256 random bits. */
export const randomKey = (): string => randomBytes(32).toString('base64url')
