import { type Task as GraphileTask, Logger, runOnce } from 'graphile-worker'
import type { z } from 'zod'
import { type Database, sql, type Tx } from '../db/client.ts'
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

export const taskList = (handlers: Handlers): Record<string, GraphileTask> =>
  Object.fromEntries(
    Object.entries(handlers).map(([name, handler]) => [
      name,
      async body => {
        const { payload, requestId } = body as { payload: unknown; requestId: string }
        await handler(payload, requestId)
      },
    ]),
  )

export const queueLogger = (log: Log) =>
  new Logger(() => (level, message, meta) => {
    if (level === 'error' || level === 'warning')
      log[level === 'error' ? 'error' : 'warn']({ queue: meta?.jobId }, message)
  })

/** Works what waits and returns: for tests and the operator's command. */
export const workOnce = (db: Database, handlers: Handlers, log: Log): Promise<void> =>
  runOnce({
    pgPool: patientPool(db.pool),
    taskList: taskList(handlers),
    noHandleSignals: true,
    logger: queueLogger(log),
  })
