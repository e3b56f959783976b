// A server in a process of its own: node serving.ts <what> <database URL>. Tells its parent port, token and cookie.
import type { Server } from 'node:http'
import Fastify from 'fastify'
import { buildApp } from '../src/app.ts'
import { appOfToken } from '../src/features/apps/app-of-token.ts'
import { presentSystem } from '../src/features/systems/present.ts'
import { listSystems, readSystem } from '../src/features/systems/queries.ts'
import { tokenKeysFrom } from '../src/platform/auth/token-keys.ts'
import { type Database, sql } from '../src/platform/db/client.ts'
import { actorsOn, type Cookie } from '../tests/support/actors.ts'
import { freePort } from '../tests/support/postgres.ts'
import { act, depsOn, log, now, open } from './rig/open.ts'

/** Where it listens, an app's token and the cookie of the company's owner. */
export type Served = { readonly port: number; readonly token: string; readonly cookie: Cookie }
export type What = 'product' | 'product-without-audit' | 'bare' | 'bare-with-token'

const [what, url] = process.argv.slice(2) as [What, string]
const port = await freePort()
const db = open(url)
const deps = depsOn(what === 'product-without-audit' ? withoutAudit(db) : db, url, port)
const product = await buildApp({ ...deps, log })
const actors = actorsOn(product, deps)
const { token } = await actors.app()
const { cookie } = await actors.owner()
const served = what.startsWith('product') ? product : await bare()
await served.listen({ port, host: '127.0.0.1' })
unlimited(served.server)
process.send!({ port, token, cookie } satisfies Served)
process.on('disconnect', () => process.exit())

// One app may ask 600 times a minute; the limiter is left in place, and with each 500 requests its minute is over, here
// and in the database, where all processes count together.
function unlimited(server: Server): void {
  const passed = performance.now.bind(performance)
  let requests = 0
  server.on('request', () => {
    if (++requests % 500 === 0) void db.pool.query('delete from rate_count')
  })
  performance.now = () => passed() + 61_000 * Math.floor(requests / 500)
}

function withoutAudit(database: Database): Database {
  return {
    ...database,
    rows: (statement, values) =>
      statement.name === 'audit-read' ? Promise.resolve([]) : database.rows(statement, values),
  }
}

const insertEvent = sql(
  'bare-insert',
  'insert into home_event (id, property_id, kind, at, created_at) values (uuidv7(), $1, $2, $3, $4)',
)

/** One statement a route, prepared, and of the record the same bytes; with a token, the product's own check of it before. */
async function bare() {
  const app = Fastify()
  const issuer = { keys: await tokenKeysFrom(deps.config.tokenSigningKeys), origin: deps.config.publicUrl }
  const findApp = appOfToken(db, issuer)
  app.get<{ Params: { id: string } }>('/v1/systems/:id', async request => {
    if (what === 'bare-with-token') await findApp(String(request.headers.authorization).slice(7), now)
    return presentSystem(await readSystem(db, act, request.params.id))
  })
  app.get('/v1/systems', async () => {
    const rows = (await listSystems(db, act, { limit: 50 })).slice(0, 50)
    return { items: rows.map(presentSystem), next: rows.at(-1)?.id }
  })
  app.post<{ Params: { id: string }; Body: { kind: string; at: string } }>(
    '/v1/properties/:id/events',
    (request, reply) =>
      db.transaction(async tx => {
        await tx.rows(insertEvent, [request.params.id, request.body.kind, request.body.at, new Date(now)])
        return reply.code(201).send(request.body)
      }),
  )
  return app
}
