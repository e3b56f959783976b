import pg from 'pg'
import type { TestProject } from 'vitest/node'
import { migrate } from '../../src/ops/migrate.ts'
import { clearLeftovers, startPostgres } from './postgres.ts'
import { prepareQueue } from './queue.ts'

declare module 'vitest' {
  interface ProvidedContext {
    /** The run's server; its database `underslab_template` is migrated and never connected to again. */
    databaseServer: string
  }
}

export const templateName = 'underslab_template'

/** One server a run. Its template database is migrated once; each test file takes a clone. */
export default async function setUp(project: TestProject): Promise<() => Promise<void>> {
  process.env.TZ = 'UTC'
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
  project.provide('databaseServer', server.url('postgres'))
  return () => server.dispose()
}

async function onServer(url: string, statement: string): Promise<void> {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  await client.query(statement).finally(() => client.end())
}
