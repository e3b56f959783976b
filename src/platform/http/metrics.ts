import type { FastifyInstance } from 'fastify'
import { Counter, collectDefaultMetrics, Gauge, Histogram, Registry } from 'prom-client'
import { answeredWithin } from '../db/answered-within.ts'
import { at, sql } from '../db/client.ts'
import type { Deps } from '../deps.ts'
import { notFound } from './problem.ts'
import { secretsEqual } from './secrets-equal.ts'

const backlog = sql(
  'metrics-backlog',
  `select coalesce(extract(epoch from now() - (select min(run_at) from graphile_worker.jobs where run_at <= now())), 0)::float as "jobAge",
     coalesce(extract(epoch from $1 - (select min(next_attempt_at) from mail where state = 'waiting' and next_attempt_at <= $1)), 0)::float as "mailAge",
     coalesce(extract(epoch from $1 - (select max(verified_at) from backup_log)), -1)::float as "backupAge"`,
)
type Backlog = { jobAge: number; mailAge: number; backupAge: number }

const loopback = /^(127\.|::1$|::ffff:127\.)/

/** Seconds by which the feed of changes is behind: given by app.ts, because the feed belongs to a feature. */
export type FeedLag = (now: number) => Promise<number>

/** `/metrics` for Prometheus, to loopback or to whoever has the token; to others there is nothing here. */
export function metricRoutes(app: FastifyInstance, deps: Deps, feedLag: FeedLag): void {
  const register = new Registry()
  if (deps.config.production) collectDefaultMetrics({ register })
  const duration = new Histogram({
    name: 'http_request_duration_seconds',
    help: 'Time to answer, by route template',
    labelNames: ['method', 'route', 'status'] as const,
    buckets: [0.005, 0.02, 0.1, 0.5, 2.5],
    registers: [register],
  })
  app.addHook('onResponse', (request, reply, done) => {
    const route = request.routeOptions.url ?? 'none'
    const status = `${Math.floor(reply.statusCode / 100)}xx`
    duration.observe({ method: request.method, route, status }, reply.elapsedTime / 1000)
    done()
  })
  const unbelieved = new Counter({
    name: 'forwarded_unbelieved_total',
    help: 'Requests with X-Forwarded-For from an address that is not in TRUSTED_PROXIES',
    registers: [register],
  })
  app.addHook('onRequest', (request, _reply, done) => {
    if (request.headers['x-forwarded-for'] && request.ip === request.socket.remoteAddress) unbelieved.inc()
    done()
  })
  const measure = gauges(register, deps, feedLag)
  app.get('/metrics', { config: { open: 'Loopback or the metrics token, checked here.' } }, async (request, reply) => {
    const token = /^Bearer (.+)$/.exec(request.headers.authorization ?? '')?.[1] ?? ''
    const { metricsToken } = deps.config
    const near = loopback.test(request.socket.remoteAddress ?? '') && request.headers['x-forwarded-for'] === undefined
    if (!near && !(metricsToken && secretsEqual(token, metricsToken))) throw notFound('page')
    await measure()
    return reply.type(register.contentType).send(await register.metrics())
  })
}

/** What is measured when it is asked for: the registry reads all gauges at once, so one query can not set several then. */
function gauges(register: Registry, { db, clock }: Deps, feedLag: FeedLag): () => Promise<void> {
  const registers = [register]
  new Gauge({
    name: 'db_pool_connections',
    help: 'Connections of the pool',
    labelNames: ['state'] as const,
    registers,
    collect() {
      this.set({ state: 'idle' }, db.pool.idleCount)
      this.set({ state: 'used' }, db.pool.totalCount - db.pool.idleCount)
      this.set({ state: 'waiting' }, db.pool.waitingCount)
    },
  })
  const oldest = new Gauge({ name: 'oldest_due_job_seconds', help: 'Age of the oldest job that is due', registers })
  const mail = new Gauge({ name: 'oldest_due_mail_seconds', help: 'Age of the oldest mail that is due', registers })
  const backup = new Gauge({
    name: 'verified_backup_age_seconds',
    help: 'Since a backup was verified; -1 never',
    registers,
  })
  const feed = new Gauge({
    name: 'feed_lag_seconds',
    help: 'Age of the oldest change that a running transaction keeps out of the feed',
    registers,
  })
  const up = new Gauge({ name: 'database_up', help: 'Whether the database answers within a second', registers })
  return async () => {
    const asked = Promise.all([db.one<Backlog>(backlog, [at(clock.now())]), feedLag(clock.now())])
    const [read, lag] = (await answeredWithin(1000, asked)) ?? []
    up.set(read ? 1 : 0)
    if (!read) return
    oldest.set(read.jobAge)
    mail.set(read.mailAge)
    backup.set(read.backupAge)
    feed.set(lag ?? 0)
  }
}
