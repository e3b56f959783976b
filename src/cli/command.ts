import { type ParseArgsConfig, parseArgs } from 'node:util'
import { type Local, localSettings, type Settings, settingsOf } from '../ops/local-settings.ts'
import { migrationsApplied, migrationsOfProgram } from '../ops/migrate.ts'
import { type Clock, systemClock } from '../platform/clock.ts'
import { type Database, openDatabase } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import { newId } from '../platform/ids.ts'
import { createLog } from '../platform/log.ts'

type Options = NonNullable<ParseArgsConfig['options']>

export type Command = {
  readonly name: string
  readonly summary: string
  /** What stands behind `--help`: the call, the options and an example. */
  readonly help: string
  run(args: readonly string[]): Promise<void>
}

/** The command was called in a way it does not know; its help is printed with the message. */
export class WrongCall extends Error {}

/** Reads options and exactly the named positional arguments. */
export function readArgs<T extends Options>(args: readonly string[], options: T, names: readonly string[]) {
  const read = parse(args, options)
  if (read.positionals.length !== names.length)
    throw new WrongCall(names.length === 0 ? `What is “${read.positionals[0]}”?` : `It needs ${names.join(' and ')}.`)
  return read
}

function parse<T extends Options>(args: readonly string[], options: T) {
  try {
    return parseArgs({ args: [...args], options, allowPositionals: true })
  } catch (error) {
    throw new WrongCall(error instanceof Error ? error.message : String(error))
  }
}

export type Service = {
  readonly db: Database
  readonly config: Settings
  readonly clock: Clock
  readonly act: Act
}

/** Without DATABASE_URL, the embedded database: the one that runs, or started for this command. */
export async function withLocal<T>(work: (local: Local) => Promise<T>): Promise<T> {
  const local = await localSettings(process.env, 'share')
  try {
    return await work(local)
  } finally {
    await local.close()
  }
}

export const withSettings = <T>(work: (config: Settings) => Promise<T>): Promise<T> =>
  withLocal(local => work(settingsOf(local)))

/** The database at the level of the program, and the operator as who acts. */
export const withService = <T>(work: (service: Service) => Promise<T>): Promise<T> =>
  withSettings(async config => {
    const db = openDatabase({ url: config.databaseUrl, log: createLog('error'), poolSize: 4 })
    const clock = systemClock()
    try {
      await refusePending(db)
      const act: Act = { actor: { kind: 'operator', id: null }, now: clock.now(), requestId: `operator ${newId()}` }
      return await work({ db, config, clock, act })
    } finally {
      await db.close()
    }
  })

async function refusePending(db: Database): Promise<void> {
  const applied = await migrationsApplied(db.pool)
  const pending = (await migrationsOfProgram()).filter(migration => !applied.includes(migration.name))
  if (pending.length > 0)
    throw new Error(
      `The database is ${pending.length} migration(s) behind the program. Run: npm run underslab -- migrate`,
    )
}

export const print = (line = ''): void => void process.stdout.write(`${line}\n`)
