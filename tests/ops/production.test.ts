import { execFileSync, spawnSync } from 'node:child_process'
import { generateKeyPairSync } from 'node:crypto'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { type AppProcess, startApp } from '../support/app-process.ts'
import { anEmptyDatabase, type TestDatabase } from '../support/database.ts'

const secrets = {
  SESSION_SECRET: 'Zk3vYw8nQe1tRb6uLm9cXs2dHf5gJp7a',
  LINK_KEY: 'Qm4xTz9kWv2nYb7cRs1dLf6hGj8pUe3a',
  TOKEN_SIGNING_KEY: JSON.stringify(generateKeyPairSync('ed25519').privateKey.export({ format: 'jwk' })),
}
const env = {
  NODE_ENV: 'production',
  PUBLIC_URL: 'https://radon.clearwell.test',
  TRUSTED_PROXIES: '127.0.0.1',
  ...secrets,
}

let database: TestDatabase
let one: AppProcess
let two: AppProcess

beforeAll(async () => {
  execFileSync(process.execPath, ['tools/build.mjs'])
  database = await anEmptyDatabase()
  // At once, on a database without any table: one migrates, the other waits.
  ;[one, two] = (await Promise.all([1, 2].map(() => startApp({ databaseUrl: database.url, env })))) as [
    AppProcess,
    AppProcess,
  ]
  await Promise.all([one.ready(60_000), two.ready(60_000)])
}, 120_000)
afterAll(async () => {
  await Promise.all([one.kill(), two.kill()])
  await database.drop()
})

const command = (words: readonly string[], more: Record<string, string> = {}, input = '') =>
  spawnSync(process.execPath, ['dist/src/cli.js', ...words], {
    env: { PATH: process.env.PATH, DATABASE_URL: database.url, ...env, ...more },
    encoding: 'utf8',
    input,
  })

/** As the proxy passes a request on. */
const proxied = { 'x-forwarded-proto': 'https', 'x-forwarded-for': '203.0.113.7', host: 'radon.clearwell.test' }

async function tokenFrom(app: AppProcess, client: { clientId: string; clientSecret: string }): Promise<string> {
  const body = new URLSearchParams({
    grant_type: 'client_credentials',
    client_id: client.clientId,
    client_secret: client.clientSecret,
  })
  const answer = await fetch(`${app.url}/oauth/token`, { method: 'POST', body, headers: proxied })
  expect(answer.status).toBe(200)
  return ((await answer.json()) as { access_token: string }).access_token
}

it('brings no demo: there is no company, no person, no default password', async () => {
  const { stdout } = command(['doctor', '--json'])
  expect(JSON.parse(stdout)).toContainEqual(expect.objectContaining({ part: 'migrations', state: 'fine' }))
  expect(command(['seed']).status).not.toBe(0)
  expect(one.output + two.output).not.toContain('sign in as')
})

it('serves with two identical processes what was written through either', async () => {
  const added = command([
    'app',
    'add',
    '--name',
    'Books',
    '--scope',
    'customers:read,customers:write',
    '--all-homes',
    '--json',
  ])
  const client = JSON.parse(added.stdout) as { clientId: string; clientSecret: string }
  const authorization = `Bearer ${await tokenFrom(one, client)}`
  const written = await fetch(`${one.url}/v1/customers`, {
    method: 'POST',
    headers: { ...proxied, authorization, 'content-type': 'application/json', 'idempotency-key': 'first-customer' },
    body: JSON.stringify({ name: 'Ann Holm' }),
  })
  expect(written.status).toBe(201)
  const read = await fetch(new URL(written.headers.get('location')!, two.url), {
    headers: { ...proxied, authorization },
  })
  expect(read.status).toBe(200)
  expect(await read.json()).toMatchObject({ name: 'Ann Holm' })
})

it('adds the first owner by command, who then gets a link that opens once', () => {
  const { stdout, status } = command([
    'user',
    'add',
    '--email',
    'Dana@clearwell.test',
    '--name',
    'Dana',
    '--role',
    'owner',
  ])
  expect(status).toBe(0)
  expect(stdout).toMatch(/https:\/\/radon\.clearwell\.test\/set-password\/[\w-]{43}/)
  const again = command(['user', 'add', '--email', 'dana@clearwell.test', '--name', 'Dana', '--role', 'owner'])
  expect([again.status, again.stderr]).toEqual([1, expect.stringContaining('has this mail address')])
  const weak = command(
    ['user', 'add', '--email', 'jo@clearwell.test', '--name', 'Jo', '--role', 'crew', '--password-stdin'],
    {},
    'short\n',
  )
  expect([weak.status, weak.stderr]).toEqual([1, expect.stringContaining('at least 12')])
})

it('goes on serving while the other process is stopped in order', async () => {
  expect(await one.stop()).toBe(0)
  const answer = await fetch(`${two.url}/readyz`, { headers: proxied })
  expect(answer.status).toBe(200)
})

it('writes no secret into its log', () => {
  for (const secret of [...Object.values(secrets), new URL(database.url).password]) {
    expect(one.output).not.toContain(secret)
    expect(two.output).not.toContain(secret)
  }
})

it.each([
  ['DATABASE_URL', { DATABASE_URL: '' }],
  ['PUBLIC_URL', { PUBLIC_URL: '' }],
  ['PUBLIC_URL', { PUBLIC_URL: 'http://radon.clearwell.test' }],
  ['SESSION_SECRET', { SESSION_SECRET: '' }],
  ['SESSION_SECRET', { SESSION_SECRET: 'change-me-change-me-change-me-change-me' }],
  ['LINK_KEY', { LINK_KEY: 'short' }],
  ['TOKEN_SIGNING_KEY', { TOKEN_SIGNING_KEY: '' }],
])('refuses to start for its %s when it is %o, and names it', async (name, missing) => {
  const app = await startApp({ databaseUrl: database.url, env: { ...env, ...missing } })
  expect(await app.exit).toBe(1)
  expect(app.output).toContain(name)
})

it('names everything that is missing at once', async () => {
  const app = await startApp({ databaseUrl: '', env: { NODE_ENV: 'production' } })
  expect(await app.exit).toBe(1)
  for (const name of ['DATABASE_URL', 'PUBLIC_URL', 'SESSION_SECRET', 'LINK_KEY', 'TOKEN_SIGNING_KEY'])
    expect(app.output).toContain(`${name} is missing`)
})
