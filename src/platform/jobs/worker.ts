import { setTimeout as pause } from 'node:timers/promises'
import { run } from 'graphile-worker'
import { at, type Database, sql } from '../db/client.ts'
import { newId } from '../ids.ts'
import type { Logger as Log } from '../log.ts'
import { patientPool } from './patient-pool.ts'
import { type Handlers, type Jobs, queueLogger, taskList } from './queue.ts'
import { ReceivedJobs } from './received-jobs.ts'

const beat = sql(
  'jobs-heartbeat',
  `insert into worker_heartbeat (worker_id, beat_at, started_at) values ($1, $2, $2)
   on conflict (worker_id) do update set beat_at = excluded.beat_at`,
)
const bury = sql('jobs-bury', 'delete from worker_heartbeat where beat_at < $1')

export type Worker = { stop(): Promise<void> }

/** A task that any process may start at any time: its effect must be the same however often it runs. */
export type Periodic = { readonly name: string; readonly everyMs: number }

type Options = {
  db: Database
  jobs: Jobs
  handlers: Handlers
  periodic: readonly Periodic[]
  log: Log
  clock: { now(): number }
}

/** Works jobs until stopped. Every process may run one; each periodic task is a job with a key, worked once. */
export async function startWorker(options: Options): Promise<Worker> {
  const { db, jobs, log, clock } = options
  const queue = await keepRunning(options)
  const workerId = newId()
  const every = (ms: number, work: () => Promise<unknown>) =>
    setInterval(() => void work().catch(error => log.warn({ err: error }, 'a periodic task failed')), ms)
  const heartbeat = async () => {
    const received = queue.received()
    if (!received) return
    await db.rows(beat, [workerId, at(clock.now())])
    await db.rows(bury, [at(clock.now() - 86_400_000)])
    const lost = await received.giveBackLost(db)
    if (lost > 0) log.warn({ lost }, 'jobs that never reached their worker were given back')
  }
  await heartbeat()
  const timers = [
    every(15_000, heartbeat),
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
      await queue.stop()
    },
  }
}

const betweenStarts = 5_000

/** The library's runner ends by itself on what it takes for fatal; a service whose mails stop unseen is worse. */
async function keepRunning({ db, handlers, log }: Options) {
  const start = async () => {
    const received = new ReceivedJobs()
    const runner = await run({
      pgPool: patientPool(db.pool),
      taskList: taskList(handlers),
      concurrency: 2,
      noHandleSignals: true,
      pollInterval: 2_000,
      logger: queueLogger(log),
      events: received.events,
    })
    const ended = runner.promise.catch(error => log.error({ err: error }, 'the queue failed'))
    return { runner, received, ended }
  }
  let running: Awaited<ReturnType<typeof start>> | undefined = await start()
  const stopping = new AbortController()
  const again = async () => {
    for (;;) {
      await running?.ended
      running = undefined
      if (stopping.signal.aborted) return
      log.error('the queue has stopped working and is started again')
      await pause(betweenStarts, undefined, { signal: stopping.signal }).catch(() => {})
      if (stopping.signal.aborted) return
      running = await start().catch(error => void log.error({ err: error }, 'the queue could not be started'))
    }
  }
  const kept = again()
  return {
    /** What its workers have received; nothing while it does not run. */
    received: () => running?.received,
    async stop() {
      stopping.abort()
      await running?.runner.stop()
      await kept
    },
  }
}
