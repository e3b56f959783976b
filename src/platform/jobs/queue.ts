import { type Task as GraphileTask, Logger, run, runOnce } from 'graphile-worker'
import type { z } from 'zod'
import { at, type Database, sql, type Tx } from '../db/client.ts'
import { newId } from '../ids.ts'
import type { Logger as Log } from '../log.ts'
import { patientPool } from './patient-pool.ts'

/** Names of jobs and the shape of what each is told; see src/jobs.ts. */
export type JobSchemas = Readonly<Record<string, z.ZodType>>
export type JobHandler = (payload: unknown, requestId: string) => Promise<void>
export type Handlers = Readonly<Record<string, JobHandler>>

export type Jobs = {
  /** Adds a job in the transaction that causes it. With a key, a job that still waits under it is replaced. */
  enqueue(tx: Tx, name: string, payload: object, options?: { key?: string; requestId?: string }): Promise<void>
}

const add = sql('jobs-add', `select graphile_worker.add_job($1, $2::json, job_key => $3, max_attempts => 25)`)

export const jobsFor = (schemas: JobSchemas): Jobs => ({
  async enqueue(tx, name, payload, options = {}) {
    const schema = schemas[name]
    if (!schema) throw new Error(`no job is called ${name}`)
    const body = { payload: schema.parse(payload), requestId: options.requestId ?? '' }
    await tx.rows(add, [name, JSON.stringify(body), options.key ?? null])
  },
})

const taskList = (handlers: Handlers): Record<string, GraphileTask> =>
  Object.fromEntries(
    Object.entries(handlers).map(([name, handler]) => [
      name,
      async body => {
        const { payload, requestId } = body as { payload: unknown; requestId: string }
        await handler(payload, requestId)
      },
    ]),
  )

const queueLogger = (log: Log) =>
  new Logger(() => (level, message, meta) => {
    if (level === 'error' || level === 'warning')
      log[level === 'error' ? 'error' : 'warn']({ queue: meta?.jobId }, message)
  })

const beat = sql(
  'jobs-heartbeat',
  `insert into worker_heartbeat (worker_id, beat_at, started_at) values ($1, $2, $2)
   on conflict (worker_id) do update set beat_at = excluded.beat_at`,
)
const bury = sql('jobs-bury', 'delete from worker_heartbeat where beat_at < $1')

export type Worker = { stop(): Promise<void> }

/** A task that any process may start at any time: its effect must be the same however often it runs. */
export type Periodic = { readonly name: string; readonly everyMs: number }

/** Works jobs until stopped. Every process may run one; each periodic task is a job with a key, worked once. */
export async function startWorker(options: {
  db: Database
  jobs: Jobs
  handlers: Handlers
  periodic: readonly Periodic[]
  log: Log
  clock: { now(): number }
}): Promise<Worker> {
  const { db, jobs, log, clock } = options
  const runner = await run({
    pgPool: patientPool(db.pool),
    taskList: taskList(options.handlers),
    concurrency: 2,
    noHandleSignals: true,
    pollInterval: 2_000,
    logger: queueLogger(log),
  })
  const workerId = newId()
  const every = (ms: number, work: () => Promise<unknown>) =>
    setInterval(() => void work().catch(error => log.warn({ err: error }, 'a periodic task failed')), ms)
  const heartbeat = () =>
    db.rows(beat, [workerId, at(clock.now())]).then(() => db.rows(bury, [at(clock.now() - 86_400_000)]))
  await heartbeat()
  const timers = [
    every(30_000, heartbeat),
    ...options.periodic.map(task =>
      every(task.everyMs, () => db.transaction(tx => jobs.enqueue(tx, task.name, {}, { key: task.name }))),
    ),
  ]
  await db.transaction(async tx => {
    for (const task of options.periodic) await jobs.enqueue(tx, task.name, {}, { key: task.name })
  })
  return {
    async stop() {
      for (const timer of timers) clearInterval(timer)
      await runner.stop()
    },
  }
}

/** Works what waits and returns: for tests and the operator's command. */
export const workOnce = (db: Database, handlers: Handlers, log: Log): Promise<void> =>
  runOnce({
    pgPool: patientPool(db.pool),
    taskList: taskList(handlers),
    noHandleSignals: true,
    logger: queueLogger(log),
  })
