import { type ChildProcess, spawn } from 'node:child_process'
import { rmSync } from 'node:fs'
import { join } from 'node:path'
import { text } from 'node:stream/consumers'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { eventually } from '../support/eventually.ts'
import { freePort, testFolder } from '../support/postgres.ts'

const dataDir = join(testFolder, `pg-${process.pid}-start`)
let port: number

type Started = { readonly child: ChildProcess; output: string; readonly exit: Promise<number | null> }

/** `npm start`, without npm around it. */
function start(): Started {
  const { PATH, HOME } = process.env
  const env = { PATH, HOME, DATA_DIR: dataDir, PORT: String(port) }
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
  }, 60_000)

const passwordIn = (output: string) => /sign in as \S+ with (\S+)/.exec(output)?.[1]

let first: Started
beforeAll(async () => {
  port = await freePort()
  first = start()
  await greeted(first)
}, 90_000)
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
  const asked = Array.from({ length: 40 }, () => fetch(`http://127.0.0.1:${port}/openapi.json`))
  await eventually(() => first.output.split('/openapi.json').length > 1)
  first.child.kill('SIGINT')
  const answers = await Promise.allSettled(asked)
  for (const answer of answers) if (answer.status === 'fulfilled') expect([200, 503]).toContain(answer.value.status)
  expect(answers.filter(answer => answer.status === 'fulfilled').length).toBeGreaterThan(0)
  expect(await first.exit).toBe(0)
  await expect(fetch(`http://127.0.0.1:${port}/healthz`)).rejects.toThrow()
})

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
}, 120_000)
