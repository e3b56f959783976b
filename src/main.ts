import { rmSync } from 'node:fs'
import { join } from 'node:path'
import { Logger as QueueLogger, runMigrations } from 'graphile-worker'
import { buildApp, workOf } from './app.ts'
import { jobs } from './jobs.ts'
import { type Local, localSettings, type Settings, settingsOf } from './ops/local-settings.ts'
import { migrate } from './ops/migrate.ts'
import { readPrivate, writePrivate } from './ops/private-file.ts'
import { closeOnSignal } from './ops/shutdown.ts'
import { answerWhileStarting } from './ops/starting-answer.ts'
import { systemClock } from './platform/clock.ts'
import { type Database, openDatabase, sql } from './platform/db/client.ts'
import { jobsFor, startWorker } from './platform/jobs/queue.ts'
import { createLog, type Logger } from './platform/log.ts'
import { mailTransport } from './platform/mail/transport.ts'

const clock = systemClock()
const say = (line: string): void => void process.stdout.write(`${line}\n`)

async function start(local: Local): Promise<void> {
  const config = settingsOf(local)
  const log = createLog(config.logLevel)
  await prepareDatabase(config)
  const db = openDatabase({ url: config.databaseUrl, log })
  try {
    await serve(local, config, log, db)
  } catch (error) {
    await db.close()
    throw error
  }
}

async function serve(local: Local, config: Settings, log: Logger, db: Database): Promise<void> {
  const signIns = config.production ? [] : await demoSignIns(db, config.dataDir)
  await publishOurRuleSets(db)
  const deps = { db, clock, config, log, mail: mailTransport(config.smtpUrl), jobs: jobsFor(jobs) }
  const app = await buildApp(deps)
  await app.listen({ port: config.port, host: config.host })
  const worker = await startWorker({ db, jobs: deps.jobs, log, clock, ...workOf(deps) })
  const running = join(config.dataDir, 'running.json')
  if (!config.production) writePrivate(running, { url: config.publicUrl, pid: process.pid })
  closeOnSignal(
    [
      { name: 'http', close: () => app.close() },
      { name: 'jobs', close: () => worker.stop() },
      { name: 'database', close: () => db.close() },
      { name: 'running mark', close: async () => rmSync(running, { force: true }) },
      { name: 'embedded database', close: () => local.close() },
    ],
    log,
    () => app.server.closeAllConnections(),
  )
  greet(config, signIns)
}

/** Applies what is pending; whoever asks meanwhile is told so. */
async function prepareDatabase(config: Settings): Promise<void> {
  let endAnswer: (() => Promise<void>) | null = null
  try {
    await migrate(config.databaseUrl, line => {
      say(line)
      endAnswer ??= answerWhileStarting(config.port, config.host, 'migrating')
    })
    await runMigrations({ connectionString: config.databaseUrl, logger: new QueueLogger(() => () => {}) })
  } finally {
    // Typed anew: the compiler does not see that the callback above has set it.
    await (endAnswer as (() => Promise<void>) | null)?.()
  }
}

const oneAtATime = sql('rule-sets-lock', `select pg_advisory_xact_lock(hashtextextended('rule sets', 0))`)

/** A new version of the program may bring new rule sets; what was published before stays as it is. */
async function publishOurRuleSets(db: Database): Promise<void> {
  const { publishRuleSets } = await import('../seed/load-demo.ts')
  await db.transaction(async tx => {
    await tx.rows(oneAtATime)
    await publishRuleSets(tx, { actor: { kind: 'system', id: null }, now: clock.now(), requestId: 'start' })
  })
}

const anyCompany = sql('main-company', 'select 1 from company')

type SignIn = { readonly email: string; readonly password: string; readonly roles: readonly string[] }

/** The sign-ins of the demo, loaded now or at an earlier start; none when the data is somebody's own. */
async function demoSignIns(db: Database, dataDir: string): Promise<readonly SignIn[]> {
  const file = join(dataDir, 'demo.json')
  if (await db.one(anyCompany)) return readPrivate<readonly SignIn[]>(file) ?? []
  say('Loading the demo company …')
  const { loadDemo } = await import('../seed/load-demo.ts')
  const signIns = await loadDemo(db, clock)
  writePrivate(file, signIns)
  return signIns
}

function greet(config: Settings, signIns: readonly SignIn[]): void {
  say(`Underslab is at ${config.publicUrl}`)
  for (const { email, password, roles } of signIns) say(`  sign in as ${email} with ${password} (${roles.join(', ')})`)
}

const local = await localSettings(process.env, 'own').catch(refuse)
await start(local).catch(async error => {
  await local.close()
  refuse(error)
})

function refuse(error: unknown): never {
  console.error(error instanceof Error ? error.message : String(error))
  process.exit(1)
}
