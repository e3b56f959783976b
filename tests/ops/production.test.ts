import { execFileSync, spawnSync } from 'node:child_process'
import { generateKeyPairSync } from 'node:crypto'
import pg from 'pg'
import request from 'supertest'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { readConfig } from '../../src/platform/config.ts'
import { aDueHome, due } from '../jobs/due-homes.ts'
import { type AppProcess, startApp } from '../support/app-process.ts'
import { anEmptyDatabase, type TestDatabase } from '../support/database.ts'
import { eventually } from '../support/eventually.ts'
import { aMailSink, type MailSink } from '../support/mail-sink.ts'

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
let mailbox: MailSink

beforeAll(async () => {
  execFileSync(process.execPath, ['tools/build.mjs'])
  database = await anEmptyDatabase()
  mailbox = await aMailSink()
  const sending = { SMTP_URL: mailbox.url, MAIL_FROM: 'office@clearwell.test' }
  // At once, on a database without any table: one migrates, the other waits.
  ;[one, two] = (await Promise.all(
    [1, 2].map(() => startApp({ databaseUrl: database.url, env: { ...env, ...sending } })),
  )) as [AppProcess, AppProcess]
  await Promise.all([one.ready(120_000), two.ready(120_000)])
}, 300_000)
afterAll(async () => {
  await Promise.all([one.kill(), two.kill()])
  await mailbox.close()
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

const csrfIn = (page: string) => /name="_csrf" value="([^"]+)"/.exec(page)?.[1]
const ownersPassword = 'lantern gravel oboe'

it('takes a session that was begun at one process at the other, and ends it for both', async () => {
  const owner = ['user', 'add', '--email', 'kit@clearwell.test', '--name', 'Kit', '--role', 'owner']
  expect(command([...owner, '--password-stdin'], {}, ownersPassword).status).toBe(0)
  const browser = { ...proxied, accept: 'text/html' }
  const form = await request(one.url).get('/sign-in').set(browser)
  const cookies = new Map<string, string>()
  const keep = (lines: unknown) => {
    for (const line of [lines ?? []].flat() as string[]) cookies.set(line.split('=')[0]!, line.split(';')[0]!)
    return [...cookies.values()].join('; ')
  }
  const signedIn = await request(one.url)
    .post('/sign-in')
    .set({ ...browser, cookie: keep(form.headers['set-cookie']) })
    .type('form')
    .send({ _csrf: csrfIn(form.text), email: 'kit@clearwell.test', password: ownersPassword })
  expect(signedIn.status).toBe(303)
  const cookie = keep(signedIn.headers['set-cookie'])
  expect(cookie).toContain('__Host-')
  const account = await request(two.url)
    .get('/account')
    .set({ ...browser, cookie })
  expect([account.status, account.text]).toEqual([200, expect.stringContaining('Kit')])
  const out = await request(two.url)
    .post('/sign-out')
    .set({ ...browser, cookie })
    .type('form')
    .send({ _csrf: csrfIn(account.text) })
  expect(out.status).toBe(303)
  const after = await request(one.url)
    .get('/account')
    .set({ ...browser, cookie })
  expect([after.status, after.headers.location]).toEqual([303, expect.stringContaining('/sign-in')])
})

it('does a job once though both processes work: one sweep’s reminder is one mail', async () => {
  const pool = new pg.Pool({ connectionString: database.url })
  await aDueHome(pool, [due])
  // The processes go by the real clock: at any hour it must be an hour for mails.
  await pool.query('update company set reminders_released_at = $1, send_from_hour = 0, send_to_hour = 24', [
    new Date(due),
  ])
  await pool.query(`select graphile_worker.add_job('sweep-reminders', '{}') from generate_series(1, 20)`)
  await eventually(() => mailbox.ledger.length > 0, 60_000)
  await pool.query(`select graphile_worker.add_job(name, '{}') from unnest(array['sweep-reminders', 'send-mails']) name
                    cross join generate_series(1, 20)`)
  await eventually(async () => {
    const left = await pool.query('select 1 from graphile_worker.jobs')
    expect(left.rowCount).toBe(0)
  }, 60_000)
  const kept = await pool.query('select state from mail')
  expect(kept.rows).toEqual([{ state: 'sent' }])
  expect(mailbox.ledger).toHaveLength(1)
  await pool.end()
}, 150_000)

it('goes on serving while the other process is stopped in order', async () => {
  expect(await one.stop()).toBe(0)
  const answer = await fetch(`${two.url}/readyz`, { headers: proxied })
  expect(answer.status).toBe(200)
  expect(await two.stop()).toBe(0)
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
])('takes no settings for its %s when it is %o, and names it', (name, missing) => {
  expect(() => readConfig({ DATABASE_URL: database.url, ...env })).not.toThrow()
  expect(() => readConfig({ DATABASE_URL: database.url, ...env, ...missing })).toThrow(name)
})

it('lets doctor name every setting that is missing or unfit, each with what to do', () => {
  const { status, stdout } = command(['doctor', '--json'], {
    SESSION_SECRET: '',
    LINK_KEY: 'short',
    TOKEN_SIGNING_KEY: 'no key',
    TRUSTED_PROXIES: 'the proxy',
  })
  expect(status).toBe(1)
  const found = JSON.parse(stdout) as { part: string; state: string; says: string; remedy: string }[]
  expect(found.map(({ says }) => /[A-Z_]{4,}/.exec(says)?.[0]).sort()).toEqual([
    'LINK_KEY',
    'SESSION_SECRET',
    'TOKEN_SIGNING_KEY',
    'TRUSTED_PROXIES',
  ])
  for (const { state, remedy } of found) expect([state, remedy]).toEqual(['wrong', expect.stringContaining('set it')])
})

it('lets doctor look at the machine also while the database is away', () => {
  const { status, stdout } = command(['doctor', '--json'], { DATABASE_URL: 'postgresql://a@127.0.0.1:9/x' })
  const found = JSON.parse(stdout) as { part: string; state: string }[]
  expect(status).toBe(1)
  expect(found.filter(({ state }) => state === 'wrong').map(({ part }) => part)).toEqual(['database'])
  expect(found.map(({ part }) => part)).toEqual(['settings', 'database', 'secrets', 'proxy', 'disk'])
})

it('refuses to start, and names everything that is missing at once', async () => {
  const app = await startApp({ databaseUrl: '', env: { NODE_ENV: 'production' } })
  expect(await app.exit).toBe(1)
  for (const name of ['DATABASE_URL', 'PUBLIC_URL', 'SESSION_SECRET', 'LINK_KEY', 'TOKEN_SIGNING_KEY'])
    expect(app.output).toContain(`${name} is missing`)
})
