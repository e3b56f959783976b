import type { Clock } from './clock.ts'
import type { Config } from './config.ts'
import type { Database } from './db/client.ts'
import type { Jobs } from './jobs/queue.ts'
import type { Logger } from './log.ts'
import type { MailTransport } from './mail/transport.ts'

/** What the app is made of; a feature is a function of it. */
export type Deps = {
  readonly db: Database
  readonly clock: Clock
  readonly config: Config
  readonly log: Logger
  readonly mail: MailTransport
  readonly jobs: Jobs
}
