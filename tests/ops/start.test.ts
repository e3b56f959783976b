import { type ChildProcess, spawn } from 'node:child_process'
import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createServer } from 'node:net'
import { join } from 'node:path'
import { text } from 'node:stream/consumers'
import { afterAll, beforeAll, expect, inject, it } from 'vitest'
import { isAlive } from '../../src/ops/local-machine.ts'
import { startApp } from '../support/app-process.ts'
import { anEmptyDatabase } from '../support/database.ts'
import { eventually } from '../support/eventually.ts'
import { freePort, testFolder } from '../support/postgres.ts'

const dataDir = join(testFolder, `pg-${process.pid}-start`)
let port: number

type Started = { readonly child: ChildProcess; output: string; readonly exit: Promise<number | null> }

/** `npm start`, without npm around it. */
function start(more: Readonly<Record<string, string>> = {}): Started {
  const { PATH, HOME } = process.env
  const env = { PATH, HOME, DATA_DIR: dataDir, PORT: String(port), ...more }
  const child = spawn(process.execPath, ['tools/start.mjs'], { env, stdio: ['ignore', 'pipe', 'pipe'] })
  const exit = new Promise<number | null>(resolve => child.once('exit', resolve))
  const started: Started = { child, output: '', exit }
  for (const stream of [child.stdout, child.stderr])
    stream.on('data', (chunk: Buffer) => {
      started.output += chunk.toString()
    })
  return started
}

const greeted = (started: Started) =>
  eventually(() => {
    if (started.child.exitCode !== null) throw new Error(started.output)
    return started.output.includes('sign in as') && started.output.includes('(crew)')
  }, 120_000)

const passwordIn = (output: string) => /sign in as \S+ with (\S+)/.exec(output)?.[1]

const serverPid = (folder = dataDir) =>
  Number(readFileSync(join(folder, 'postgres', 'postmaster.pid'), 'utf8').split('\n')[0])

let first: Started
let rival: Started
beforeAll(async () => {
  port = await freePort()
  const pair = [start(), start()] as const
  const ended = await Promise.race(pair.map(one => one.exit.then(() => one)))
  rival = ended
  first = ended === pair[0] ? pair[1] : pair[0]
  await greeted(first)
}, 300_000)
afterAll(async () => {
  first.child.kill('SIGKILL')
  rmSync(dataDir, { recursive: true, force: true, maxRetries: 5 })
})

it('prints the address and the demo sign-ins of every role', async () => {
  expect(first.output).toContain(`Underslab is at http://127.0.0.1:${port}`)
  for (const role of ['owner', 'office', 'crew'])
    expect(first.output).toMatch(new RegExp(`sign in as .*\\(.*${role}.*\\)`))
  expect((await fetch(`http://127.0.0.1:${port}/readyz`)).status).toBe(200)
})

it('lets one of two starts at once have the data, and tells the other', async () => {
  expect(await rival.exit).toBe(1)
  expect(rival.output).toContain(`already running with the data in ${dataDir}`)
  expect(rival.output).not.toContain('sign in as')
})

it('tells a second start at once where it runs', async () => {
  const second = start()
  expect(await second.exit).toBe(1)
  expect(second.output).toContain(`already running with the data in ${dataDir} at http://127.0.0.1:${port}`)
})

it('lets doctor see a proxy that it was not told of', async () => {
  const { PATH, HOME } = process.env
  const doctor = async () => {
    const child = spawn(process.execPath, ['dist/src/cli.js', 'doctor', '--json'], {
      env: { PATH, HOME, DATA_DIR: dataDir, PORT: String(port) },
      stdio: ['ignore', 'pipe', 'inherit'],
    })
    return (JSON.parse(await text(child.stdout)) as { part: string; state: string }[]).find(
      ({ part }) => part === 'proxy',
    )
  }
  expect(await doctor()).toMatchObject({ state: 'fine' })
  await fetch(`http://127.0.0.1:${port}/healthz`, { headers: { 'x-forwarded-for': '203.0.113.7' } })
  expect(await doctor()).toMatchObject({ state: 'wrong', remedy: expect.stringContaining('TRUSTED_PROXIES') })
})

it('ends in order on Ctrl-C: what was asked before is answered, the code is 0, nothing is left running', async () => {
  const server = serverPid()
  const asked = Array.from({ length: 40 }, () => fetch(`http://127.0.0.1:${port}/openapi.json`))
  await eventually(() => first.output.split('/openapi.json').length > 1)
  first.child.kill('SIGINT')
  const answers = await Promise.allSettled(asked)
  for (const answer of answers) if (answer.status === 'fulfilled') expect([200, 503]).toContain(answer.value.status)
  expect(answers.filter(answer => answer.status === 'fulfilled').length).toBeGreaterThan(0)
  expect(await first.exit).toBe(0)
  await expect(fetch(`http://127.0.0.1:${port}/healthz`)).rejects.toThrow()
  expect(isAlive(server, 'postgres')).toBe(false)
})

it('ends in order on Ctrl-C in the middle of its first start too', async () => {
  const folder = `${dataDir}-first`
  const begun = start({ DATA_DIR: folder })
  await eventually(() => begun.output.includes('Loading the demo'), 120_000)
  const server = serverPid(folder)
  begun.child.kill('SIGINT')
  expect(await begun.exit).toBe(0)
  expect(isAlive(server, 'postgres')).toBe(false)
  rmSync(folder, { recursive: true })
}, 180_000)

it('finds its data at the next start, also after being killed', async () => {
  const password = passwordIn(first.output)
  first = start()
  await greeted(first)
  expect(passwordIn(first.output)).toBe(password)
  expect(first.output).not.toContain('Loading the demo')
  first.child.kill('SIGKILL')
  await first.exit
  first = start()
  await greeted(first)
  expect(passwordIn(first.output)).toBe(password)
  first.child.kill('SIGTERM')
  expect(await first.exit).toBe(0)
}, 300_000)

it('names the port that something else uses, and what to do', async () => {
  const other = createServer().listen(port, '127.0.0.1')
  const refused = start()
  expect(await refused.exit).toBe(1)
  expect(refused.output).toContain(`Something else already uses port ${port}. Stop it, or start with another PORT.`)
  other.close()
}, 60_000)

it.each([
  ['is a file', 'a-file', ''],
  ['lies in a file', 'a-file', 'inside'],
])('names a data folder that %s, and what to do', async (_, file, rest) => {
  const path = join(dataDir, file, rest)
  writeFileSync(join(dataDir, file), '')
  const refused = start({ DATA_DIR: path })
  expect(await refused.exit).toBe(1)
  expect(refused.output).toContain(`${path} cannot be written`)
  expect(refused.output).toContain('Set DATA_DIR to a folder this user may write to.')
})

it.each([
  ['does not answer', async () => `postgresql://a@127.0.0.1:${await freePort()}/x`, 'The database does not answer'],
  ['has another password', async () => (await ownDatabase()).replace(/:[^:@]+@/, ':wrong@'), 'The database refuses us'],
  ['has no such database', async () => (await ownDatabase()).replace(/\w+$/, 'nowhere'), 'The database refuses us'],
])('names a database that %s, and the setting to correct', async (_, url, words) => {
  const refused = start({ DATABASE_URL: await url() })
  expect(await refused.exit).toBe(1)
  expect(refused.output).toContain(words)
  expect(refused.output).toContain('DATABASE_URL.')
})

const ownDatabase = async () => inject('databaseServer')

it('uses the server that DATABASE_URL names, and starts none of its own', async () => {
  const database = await anEmptyDatabase()
  const folder = join(testFolder, `start-${process.pid}`)
  const app = await startApp({ databaseUrl: database.url, env: { DATA_DIR: folder } })
  await app.ready(60_000)
  expect(existsSync(join(folder, 'secrets.json'))).toBe(true)
  expect(existsSync(join(folder, 'postgres'))).toBe(false)
  expect(await app.stop()).toBe(0)
  await database.drop()
  rmSync(folder, { recursive: true })
}, 90_000)
