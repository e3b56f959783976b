import { spawn } from 'node:child_process'
import { readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { createServer } from 'node:net'
import { join } from 'node:path'
import pg from 'pg'
import { afterAll, expect, it } from 'vitest'
import { AlreadyRunning, embeddedDatabase } from '../../src/ops/embedded-database.ts'
import { localSecrets } from '../../src/ops/secrets.ts'
import { eventually } from '../support/eventually.ts'
import { testFolder } from '../support/postgres.ts'

const dataDir = join(testFolder, `pg-${process.pid}-embedded`)
const access = () =>
  JSON.parse(readFileSync(join(dataDir, 'database.json'), 'utf8')) as { port: number; password: string }
const serverPid = () => Number(readFileSync(join(dataDir, 'postgres', 'postmaster.pid'), 'utf8').split('\n')[0])
afterAll(() => rmSync(dataDir, { recursive: true, force: true }))

async function ask(url: string, text: string): Promise<Record<string, unknown>[]> {
  const client = new pg.Client(url)
  await client.connect()
  return client
    .query(text)
    .then(result => result.rows)
    .finally(() => client.end())
}

/** A program of its own that owns the database until it is killed; resolves when it does. */
async function anotherProgram(): Promise<{ kill(): Promise<void> }> {
  const code = `import { embeddedDatabase } from './src/ops/embedded-database.ts'
    await embeddedDatabase(${JSON.stringify(dataDir)}, 'own')
    console.log('owns it')
    setInterval(() => {}, 1000)`
  const child = spawn(process.execPath, ['--import', 'tsx', '--input-type=module', '-e', code], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  await new Promise<void>(resolve => child.stdout.on('data', (chunk: Buffer) => chunk.includes('owns it') && resolve()))
  return {
    async kill() {
      const gone = new Promise(resolve => child.once('exit', resolve))
      child.kill('SIGKILL')
      await gone
    },
  }
}

it('keeps its data, port and password from one start to the next', async () => {
  const first = await embeddedDatabase(dataDir, 'own')
  await ask(first.url, 'create table kept as select 7 as n')
  await first.stop()
  const second = await embeddedDatabase(dataDir, 'own')
  expect(second.url).toBe(first.url)
  expect(await ask(second.url, 'select n from kept')).toEqual([{ n: 7 }])
  await second.stop()
})

it('listens on loopback only, with durability on and a password that only its owner can read', async () => {
  const database = await embeddedDatabase(dataDir, 'own')
  const settings = await ask(
    database.url,
    `select name, setting from pg_settings
     where name in ('listen_addresses', 'unix_socket_directories', 'fsync', 'full_page_writes', 'synchronous_commit') order by 1`,
  )
  expect(Object.fromEntries(settings.map(row => [row.name, row.setting]))).toEqual({
    fsync: 'on',
    full_page_writes: 'on',
    listen_addresses: '127.0.0.1',
    synchronous_commit: 'on',
    unix_socket_directories: '',
  })
  expect(statSync(join(dataDir, 'database.json')).mode & 0o777).toBe(0o600)
  await expect(ask(database.url.replace(access().password, 'wrong'), 'select 1')).rejects.toThrow('password')
  await database.stop()
})

it('tells a second start that it runs already, and lets a command join it', async () => {
  const database = await embeddedDatabase(dataDir, 'own')
  await expect(embeddedDatabase(dataDir, 'own')).rejects.toThrow(AlreadyRunning)
  const joined = await embeddedDatabase(dataDir, 'share')
  expect(joined.url).toBe(database.url)
  await joined.stop()
  expect(await ask(database.url, 'select 1 as n')).toEqual([{ n: 1 }])
  await database.stop()
})

it('takes over the server of a program that was killed', async () => {
  const other = await anotherProgram()
  const pid = serverPid()
  await other.kill()
  const database = await embeddedDatabase(dataDir, 'own')
  expect(serverPid()).toBe(pid)
  expect(await ask(database.url, 'select n from kept')).toEqual([{ n: 7 }])
  await database.stop()
})

it('starts anew after program and server were both killed', async () => {
  const other = await anotherProgram()
  process.kill(serverPid(), 'SIGKILL')
  await other.kill()
  const database = await embeddedDatabase(dataDir, 'own')
  expect(await ask(database.url, 'select n from kept')).toEqual([{ n: 7 }])
  await database.stop()
})

it("starts when the number in the server's file belongs to another program by now", async () => {
  writeFileSync(join(dataDir, 'postgres', 'postmaster.pid'), `${process.pid}\n${dataDir}\n`)
  const database = await embeddedDatabase(dataDir, 'own')
  expect(await ask(database.url, 'select n from kept')).toEqual([{ n: 7 }])
  await database.stop()
})

it('takes another port when something else listens on its own', async () => {
  const { port } = access()
  const other = createServer().listen(port, '127.0.0.1')
  await eventually(() => other.listening)
  const database = await embeddedDatabase(dataDir, 'own')
  expect(access().port).not.toBe(port)
  expect(await ask(database.url, 'select n from kept')).toEqual([{ n: 7 }])
  await database.stop()
  await new Promise(resolve => other.close(resolve))
})

it('says so when its password file was lost or replaced', async () => {
  const file = join(dataDir, 'database.json')
  const kept = readFileSync(file)
  writeFileSync(file, JSON.stringify({ ...access(), password: 'another' }))
  await expect(embeddedDatabase(dataDir, 'own')).rejects.toThrow('database.json')
  writeFileSync(file, kept)
  await (await embeddedDatabase(dataDir, 'own')).stop()
})

it('makes secrets once and gives the same ones at the next start', () => {
  let made = 0
  const makers = { LINK_KEY: () => `made ${++made}` }
  expect(localSecrets(dataDir, makers)).toEqual({ LINK_KEY: 'made 1' })
  expect(localSecrets(dataDir, makers)).toEqual({ LINK_KEY: 'made 1' })
  expect(localSecrets(dataDir, { ...makers, SESSION_SECRET: () => 'new' })).toEqual({
    LINK_KEY: 'made 1',
    SESSION_SECRET: 'new',
  })
  expect(statSync(join(dataDir, 'secrets.json')).mode & 0o777).toBe(0o600)
})
