import pg from 'pg'
import type { TestProject } from 'vitest/node'
import { migrate } from '../../src/ops/migrate.ts'
import { clearLeftovers, type PostgresServer, startPostgres } from './postgres.ts'
import { prepareQueue } from './queue.ts'

declare module 'vitest' {
  interface ProvidedContext {
    /** The run's server; its database `underslab_template` is migrated and never connected to again. */
    databaseServer: string
  }
}

export const templateName = 'underslab_template'

/** The two projects that need a server are set up in one process, and share one. */
type Run = { readonly server: Promise<PostgresServer>; projects: number }
const shared = globalThis as { underslabTestRun?: Run }

/** One server a run. Its template database is migrated once; each test file takes a clone. */
export default async function setUp(project: TestProject): Promise<() => Promise<void>> {
  process.env.TZ = 'UTC'
  shared.underslabTestRun ??= { server: migratedServer(), projects: 0 }
  const run = shared.underslabTestRun
  run.projects++
  const server = await run.server
  project.provide('databaseServer', server.url('postgres'))
  return async () => {
    if (--run.projects === 0) await server.dispose()
  }
}

async function migratedServer(): Promise<PostgresServer> {
  await clearLeftovers()
  const server = await startPostgres('run')
  try {
    await onServer(server.url('postgres'), `create database ${templateName}`)
    await migrate(server.url(templateName))
    await prepareQueue(server.url(templateName))
    await onServer(server.url('postgres'), `alter database ${templateName} with allow_connections false`)
  } catch (error) {
    await server.dispose()
    throw error
  }
  return server
}

async function onServer(url: string, statement: string): Promise<void> {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  await client.query(statement).finally(() => client.end())
}
