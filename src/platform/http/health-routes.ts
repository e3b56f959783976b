import type { FastifyInstance } from 'fastify'
import { answeredWithin } from '../db/answered-within.ts'
import { at, sql } from '../db/client.ts'
import type { Deps } from '../deps.ts'

const health = sql(
  'health',
  `select (select max(migration_name) from _prisma_migrations where finished_at is not null and rolled_back_at is null) as level,
     (select max(beat_at) from worker_heartbeat where beat_at <= $1::timestamptz + interval '1 minute') as beat`,
)
type Health = { level: string | null; beat: number | null }
type Check = { readonly status: 'pass' | 'fail'; readonly output?: string }

const twoMinutes = 120_000
const access = { open: 'Whether the service works is told to whoever watches it; no record is.' }

/**
 * `/healthz`: the process lives. `/readyz`: the database answers within a second, stands at this program's migration,
 * and a worker has shown itself within two minutes. A mail server that is away fails neither.
 */
export function healthRoutes(app: FastifyInstance, deps: Deps, migrationLevel: string | null): void {
  app.get('/healthz', { config: access, logLevel: 'warn' }, () => ({ status: 'pass' }))
  app.get('/readyz', { config: access, logLevel: 'warn' }, async (_request, reply) => {
    const checks = await checksOf(deps, migrationLevel)
    const good = Object.values(checks).every(check => check.status === 'pass')
    if (!good) reply.code(503).header('retry-after', '2')
    return reply.type('application/health+json; charset=utf-8').send({ status: good ? 'pass' : 'fail', checks })
  })
}

async function checksOf({ db, clock }: Deps, wanted: string | null): Promise<Record<string, Check>> {
  const now = clock.now()
  const found = await answeredWithin(1000, db.one<Health>(health, [at(now)]))
  if (!found) return { database: fail('did not answer within 1 s') }
  const { level, beat } = found
  return {
    database: { status: 'pass' },
    migrations: wanted === null || level === wanted ? { status: 'pass' } : fail(`at ${level}, needs ${wanted}`),
    worker: beat !== null && now - beat < twoMinutes ? { status: 'pass' } : fail('no worker in the last two minutes'),
  }
}

const fail = (output: string): Check => ({ status: 'fail', output })
