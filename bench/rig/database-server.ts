import { randomBytes } from 'node:crypto'
import pg from 'pg'
import { migrate } from '../../src/ops/migrate.ts'
import { startPostgres } from '../../tests/support/postgres.ts'
import { prepareQueue } from '../../tests/support/queue.ts'

export type DatabaseServer = {
  /** A migrated, empty database of its own; gives its connection URL. */
  database(): Promise<string>
  close(): Promise<void>
}

const template = 'bench_template'

/** A server with the durability of a real installation and 256 MB of shared buffers. */
export async function aDatabaseServer(): Promise<DatabaseServer> {
  const server = await startPostgres('bench', {
    durable: true,
    flags: ['shared_buffers=256MB', 'max_wal_size=4GB', 'checkpoint_timeout=30min'],
  })
  const admin = async (statement: string) => {
    const client = new pg.Client({ connectionString: server.url('postgres') })
    await client.connect()
    await client.query(statement).finally(() => client.end())
  }
  await admin(`create database ${template}`)
  await migrate(server.url(template))
  await prepareQueue(server.url(template))
  return {
    async database() {
      const name = `b_${randomBytes(5).toString('hex')}`
      await admin(`create database ${name} template ${template}`)
      return server.url(name)
    },
    close: () => server.dispose(),
  }
}
