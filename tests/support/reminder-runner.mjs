// A process of its own that works the reminders as the built program does, on the clock that a file holds.
// node reminder-runner.mjs once|loop; configuration from the environment as for the program itself.
import { readFileSync } from 'node:fs'

const program = file => import(`${process.env.PROGRAM}/src/${file}`)
const { workOf } = await program('app.js')
const { jobs: schemas } = await program('jobs.js')
const { readConfig } = await program('platform/config.js')
const { openDatabase } = await program('platform/db/client.js')
const { jobsFor, workOnce } = await program('platform/jobs/queue.js')
const { createLog } = await program('platform/log.js')
const { mailTransport } = await program('platform/mail/transport.js')

const config = readConfig(process.env)
const log = createLog('warn')
const db = openDatabase({ url: config.databaseUrl, log, poolSize: 3 })
const clock = { now: () => Number(readFileSync(process.env.CLOCK_FILE, 'utf8')) }
const deps = { db, config, log, clock, jobs: jobsFor(schemas), mail: mailTransport(config.smtpUrl) }
const { handlers } = workOf(deps)

const tasks = ['sweep-reminders', 'send-mails']
do {
  for (const name of tasks) await handlers[name]({}, 'rig')
} while (process.argv[2] === 'loop')
await workOnce(db, handlers, log)
deps.mail.close()
await db.close()
