import { at, sql } from '../../platform/db/client.ts'
import { faultInWords } from '../fault-in-words.ts'
import { migrationsApplied, migrationsOfProgram } from '../migrate.ts'
import { type Diagnosis, fine, notice, type Patient, wrong } from './diagnosis.ts'

/** Below this the server lacks what the program uses. */
const oldestPostgres = 15

const settings = sql(
  'doctor-settings',
  `select name, setting from pg_settings where name in ('fsync', 'full_page_writes', 'synchronous_commit')`,
)
const version = sql('doctor-version', `select current_setting('server_version_num')::int / 10000 as major`)
const clock = sql('doctor-clock', 'select clock_timestamp() as at')
const latest = sql('doctor-latest', 'select max(at) as at from audit where at > $1')

/** Null when the database answers. Without it most other questions have no answer. */
export async function reached({ db }: Patient): Promise<Diagnosis | null> {
  try {
    await db.pool.query('select 1')
    return null
  } catch (error) {
    return wrong('database', faultInWords(error), 'what needs it was not looked at: run doctor again then')
  }
}

export async function durability({ db }: Patient): Promise<Diagnosis> {
  const found = await db.rows<{ name: string; setting: string }>(settings)
  const off = found.filter(({ setting }) => setting === 'off').map(({ name }) => name)
  if (off.length === 0) return fine('durability', 'what was saved survives a power cut')
  return wrong(
    'durability',
    `the database runs with ${off.join(', ')} off: a power cut can lose or spoil what was saved`,
    `set ${off.map(name => `${name} = on`).join(', ')} in postgresql.conf and reload the server`,
  )
}

export async function serverVersion({ db }: Patient): Promise<Diagnosis> {
  const major = (await db.one<{ major: number }>(version))?.major ?? 0
  if (major >= oldestPostgres) return fine('database', `PostgreSQL ${major}`)
  return wrong(
    'database',
    `PostgreSQL ${major} is too old`,
    `upgrade the server to PostgreSQL ${oldestPostgres} or newer`,
  )
}

export async function migrations({ db }: Patient): Promise<Diagnosis> {
  const known = (await migrationsOfProgram()).map(migration => migration.name)
  const applied = await migrationsApplied(db.pool)
  const newer = applied.filter(name => !known.includes(name))
  const pending = known.filter(name => !applied.includes(name))
  if (newer.length > 0)
    return wrong('migrations', `the database is newer than the program: ${newer.join(', ')}`, 'start the newer program')
  if (pending.length > 0)
    return wrong('migrations', `pending: ${pending.join(', ')}`, 'run: npm run underslab -- migrate')
  return fine('migrations', `at ${known.at(-1)}`)
}

/** A clock that is off makes wrong due days, expired links and refused tokens. */
export async function time({ db, now }: Patient): Promise<Diagnosis> {
  const apart = Math.round(Math.abs(((await db.one<{ at: number }>(clock))?.at ?? now) - now) / 1000)
  if (apart > 10)
    return wrong('time', `this machine's clock and the database's are ${apart} s apart`, 'set both by NTP')
  const last = (await db.one<{ at: number | null }>(latest, [at(now + 60_000)]))?.at
  if (last)
    return wrong(
      'time',
      `something was written at ${new Date(last).toISOString()}, which is still to come`,
      "this machine's clock went back, or was ahead before: set it by NTP",
    )
  return fine('time', 'clocks agree')
}

const workers = sql('doctor-workers', 'select max(beat_at) as at from worker_heartbeat')

export async function jobs({ db, now }: Patient): Promise<Diagnosis> {
  const beat = (await db.one<{ at: number | null }>(workers))?.at ?? null
  if (beat !== null && now - beat < 120_000) return fine('jobs', 'a process works them')
  const since = beat === null ? 'has ever worked' : 'works'
  return notice('jobs', `no process ${since} jobs, so no reminder goes out`, 'start the program: npm start')
}
