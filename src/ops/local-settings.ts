import { generateKeyPairSync } from 'node:crypto'
import { type Config, readConfig } from '../platform/config.ts'
import { embeddedDatabase } from './embedded-database.ts'
import { localSecrets, randomKey } from './secrets.ts'

type Variables = Readonly<Record<string, string | undefined>>

export type Local = {
  /** The environment, completed with what this machine can give itself. */
  readonly variables: Variables
  /** Stops what was started for it. */
  close(): Promise<void>
}

export const isProduction = (variables: Variables): boolean => variables.NODE_ENV === 'production'
export const dataDirOf = (variables: Variables): string => variables.DATA_DIR || '.data'

const makers = {
  SESSION_SECRET: randomKey,
  LINK_KEY: randomKey,
  TOKEN_SIGNING_KEY: () => JSON.stringify(generateKeyPairSync('ed25519').privateKey.export({ format: 'jwk' })),
}

/**
 * Outside production the program brings what the environment does not name: secrets of its own and the embedded
 * database. In production it adds nothing, so that what is missing is refused by name.
 */
export async function localSettings(variables: Variables, use: 'own' | 'share'): Promise<Local> {
  if (isProduction(variables)) return { variables, close: async () => {} }
  const database = isGiven(variables, 'DATABASE_URL') ? null : await embeddedDatabase(dataDirOf(variables), use)
  const missing = Object.fromEntries(Object.entries(makers).filter(([name]) => !isGiven(variables, name)))
  return {
    variables: {
      ...variables,
      ...localSecrets(dataDirOf(variables), missing),
      ...(database ? { DATABASE_URL: database.url } : {}),
    },
    close: async () => database?.stop(),
  }
}

const isGiven = (variables: Variables, name: string): boolean => Boolean(variables[name] || variables[`${name}_FILE`])

/** A configuration whose database is known. */
export type Settings = Config & { readonly databaseUrl: string }

/** Reads the completed environment; throws with every problem at once. */
export function settingsOf(local: Local): Settings {
  const config = readConfig(local.variables)
  if (!config.databaseUrl) throw new Error('DATABASE_URL is missing: set it to the address of a PostgreSQL database.')
  return { ...config, databaseUrl: config.databaseUrl }
}
