import { rmSync } from 'node:fs'
import { join } from 'node:path'
import { Logger as QueueLogger, runMigrations } from 'graphile-worker'
import { buildApp, workOf } from './app.ts'
import { jobs } from './jobs.ts'
import { faultInWords } from './ops/fault-in-words.ts'
import { type Local, localSettings, type Settings, settingsOf } from './ops/local-settings.ts'
import { migrate } from './ops/migrate.ts'
import { readPrivate, writePrivate } from './ops/private-file.ts'
import { closeOnSignal, type Opened } from './ops/shutdown.ts'
import { answerWhileStarting } from './ops/starting-answer.ts'
import { systemClock } from './platform/clock.ts'
import { type Database, openDatabase, sql } from './platform/db/client.ts'
import { jobsFor } from './platform/jobs/queue.ts'
import { startWorker } from './platform/jobs/worker.ts'
import { createLog, type Logger } from './platform/log.ts'
import { mailTransport } from './platform/mail/transport.ts'

const clock = systemClock()
const say = (line: string): void => void process.stdout.write(`${line}\n`)

let log: Logger = createLog('info')
const opened: Opened = []
let cut = () => {}

async function start(local: Local): Promise<void> {
  const config = settingsOf(local)
  log = createLog(config.logLevel)
  await prepareDatabase(config)
  const db = openDatabase({ url: config.databaseUrl, log })
  opened.push({ name: 'database', close: () => db.close() })
  await serve(config, db)
}

async function serve(config: Settings, db: Database): Promise<void> {
  const signIns = config.production ? [] : await demoSignIns(db, config.dataDir)
  await publishOurRuleSets(db)
  const deps = { db, clock, config, log, mail: mailTransport(config.smtpUrl), jobs: jobsFor(jobs) }
  const app = await buildApp(deps)
  cut = () => app.server.closeAllConnections()
  let working: ReturnType<typeof startWorker> | null = null
  opened.push({ name: 'jobs', close: async () => (await working)?.stop() }, { name: 'http', close: () => app.close() })
  await app.listen({ port: config.port, host: config.host })
  working = startWorker({ db, jobs: deps.jobs, log, clock, ...workOf(deps) })
  await working
  if (!config.production) markRunning(config)
  greet(config, signIns)
}

/** Lets a second start say where this one runs. */
function markRunning({ dataDir, publicUrl }: Settings): void {
  const running = join(dataDir, 'running.json')
  writePrivate(running, { url: publicUrl, pid: process.pid })
  opened.unshift({ name: 'running mark', close: async () => rmSync(running, { force: true }) })
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
  const other = await db.transaction(async tx => {
    await tx.rows(oneAtATime)
    return publishRuleSets(tx, { actor: { kind: 'system', id: null }, now: clock.now(), requestId: 'start' })
  })
  if (other.length > 0)
    log.warn({ versions: other }, 'rule sets were published in other words than this program brings; they stay')
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

const starting = localSettings(process.env, 'own')
opened.push({ name: 'embedded database', close: async () => (await starting).close() })
const isStopping = closeOnSignal(
  opened,
  () => log,
  () => cut(),
)
await starting.then(start).catch(async error => {
  // What was being done when it was told to stop fails of itself.
  if (isStopping()) return
  for (const { close } of opened.toReversed()) await close().catch(() => {})
  console.error(faultInWords(error))
  process.exit(1)
})
