import type { FastifyInstance } from 'fastify'
import { publishRuleSets } from '../../seed/load-demo.ts'
import { buildApp, workOf } from '../../src/app.ts'
import { jobs as jobSchemas } from '../../src/jobs.ts'
import { openDatabase } from '../../src/platform/db/client.ts'
import type { Deps } from '../../src/platform/deps.ts'
import { jobsFor, workOnce } from '../../src/platform/jobs/queue.ts'
import { mailTransport } from '../../src/platform/mail/transport.ts'
import { type Actors, actorsOn } from './actors.ts'
import { holdAnswers } from './answer-ledger.ts'
import { aClock, type TestClock } from './clock.ts'
import { aDatabase } from './database.ts'
import { aLog, type TestLog } from './log.ts'
import { aMailSink, type MailSink } from './mail-sink.ts'
import { freePort } from './postgres.ts'
import { aCompany, aCredential, writtenAt } from './rows.ts'
import { testConfig } from './test-config.ts'

export type TestApp = Deps & {
  readonly app: FastifyInstance
  readonly clock: TestClock
  readonly url: string
  readonly port: number
  readonly databaseUrl: string
  readonly as: Actors
  /** The mail server's own ledger of what reached it. */
  readonly mailbox: MailSink
  readonly logged: TestLog
  /** Works each periodic task once, then every job that waits and those they cause. */
  runJobs(): Promise<void>
  close(): Promise<void>
}

type Options = {
  /** The instant the clock stands at. */
  readonly at?: number | string
  /** Environment variables beyond the usual; `SMTP_URL: ''` is a service without a mail server. */
  readonly env?: Readonly<Record<string, string>>
  /** A database that is there already; it stays when the app is closed. */
  readonly databaseUrl?: string
  /** Leaves the company and the rule sets out, as on a first start. */
  readonly empty?: boolean
  readonly deps?: Partial<Deps>
}

/** The whole service on a database of its own, listening on loopback, with a clock that stands still. */
export async function buildTestApp(options: Options = {}): Promise<TestApp> {
  const clock = aClock(options.at)
  const own = options.databaseUrl === undefined ? await aDatabase() : null
  const databaseUrl = options.databaseUrl ?? own!.url
  const [mailbox, port] = await Promise.all([aMailSink(), freePort()])
  const config = testConfig(port, { DATABASE_URL: databaseUrl, SMTP_URL: mailbox.url, ...options.env })
  const logged = aLog()
  const db = openDatabase({ url: databaseUrl, log: logged.log })
  const deps: Deps & { clock: TestClock } = {
    db,
    config,
    log: logged.log,
    mail: mailTransport(config.smtpUrl),
    jobs: jobsFor(jobSchemas),
    ...options.deps,
    clock,
  }
  if (own && !options.empty) {
    await aCompany(db.pool)
    await aCredential(db.pool)
    const act = { actor: { kind: 'operator', id: null }, now: writtenAt.getTime(), requestId: 'rig' } as const
    await db.transaction(tx => publishRuleSets(tx, act))
  }
  const app = await buildApp(deps)
  holdAnswers(app)
  await app.listen({ port, host: '127.0.0.1' })
  const { handlers, periodic } = workOf(deps)

  return {
    ...deps,
    app,
    url: config.publicUrl,
    port,
    databaseUrl,
    as: actorsOn(app, deps),
    mailbox,
    logged,
    async runJobs() {
      await db.transaction(async tx => {
        for (const task of periodic) await deps.jobs.enqueue(tx, task.name, {}, { key: task.name })
      })
      await workOnce(db, handlers, logged.log)
    },
    async close() {
      await app.close()
      deps.mail.close()
      await mailbox.close()
      await db.close()
      await own?.drop()
    },
  }
}
