import { pino } from 'pino'
import { publishRuleSets } from '../../seed/load-demo.ts'
import { jobs } from '../../src/jobs.ts'
import { type Database, openDatabase } from '../../src/platform/db/client.ts'
import type { Deps } from '../../src/platform/deps.ts'
import { jobsFor } from '../../src/platform/jobs/queue.ts'
import { mailTransport } from '../../src/platform/mail/transport.ts'
import { aCompany } from '../../tests/support/rows.ts'
import { testConfig } from '../../tests/support/test-config.ts'

/** Monday 2 March 2026, 09:00 in Duluth: inside the sending hours. */
export const now = Date.parse('2026-03-02T15:00:00Z')
export const act = { actor: { kind: 'operator', id: null }, now, requestId: 'bench' } as const
export const log = pino({ level: 'silent' })
export const open = (url: string, poolSize = 10): Database => openDatabase({ url, log, poolSize })

/** What the service is built on, with a clock that stands still. */
export function depsOn(db: Database, url: string, port: number, smtpUrl = ''): Deps {
  const config = testConfig(port, { DATABASE_URL: url, SMTP_URL: smtpUrl })
  return { db, config, log, mail: mailTransport(config.smtpUrl), jobs: jobsFor(jobs), clock: { now: () => now } }
}

/** The company and the rule sets, as after a first start. */
export async function settled(db: Database, company: Readonly<Record<string, unknown>> = {}): Promise<void> {
  await aCompany(db.pool, company)
  await db.transaction(tx => publishRuleSets(tx, act))
}
