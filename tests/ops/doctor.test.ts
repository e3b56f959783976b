import { chmod, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { verifyAuditChain } from '../../src/features/changes/seal-audit.ts'
import { durability, jobs, migrations, reached, serverVersion, time } from '../../src/ops/doctor/database.ts'
import type { Patient } from '../../src/ops/doctor/diagnosis.ts'
import { backup, disk, proxy, secretFiles } from '../../src/ops/doctor/machine.ts'
import { mail } from '../../src/ops/doctor/mail.ts'
import { settingsOf } from '../../src/ops/local-settings.ts'
import { migrate } from '../../src/ops/migrate.ts'
import { type Database, openDatabase } from '../../src/platform/db/client.ts'
import { createLog } from '../../src/platform/log.ts'
import { eventually } from '../support/eventually.ts'
import { aMailSink } from '../support/mail-sink.ts'
import { freePort, type PostgresServer, startPostgres } from '../support/postgres.ts'
import { testSecrets } from '../support/test-config.ts'

/** A server with the durability settings of a real one: the run's own has them off. */
let server: PostgresServer
let db: Database
let dataDir: string
let healthy: Patient
const now = Date.now()
const day = 86_400_000

beforeAll(async () => {
  server = await startPostgres('doctor', { durable: true })
  dataDir = await mkdtemp(join(tmpdir(), 'doctor-'))
  await migrate(server.url('postgres'))
  db = openDatabase({ url: server.url('postgres'), log: createLog('silent'), poolSize: 2 })
  const variables = { DATABASE_URL: server.url('postgres'), DATA_DIR: dataDir, ...testSecrets }
  healthy = { db, now, config: settingsOf({ variables, close: async () => {} }) }
})
afterAll(async () => {
  await db.close()
  await server.dispose()
  await rm(dataDir, { recursive: true, force: true })
})

const withConfig = (config: Partial<Patient['config']>): Patient => ({
  ...healthy,
  config: { ...healthy.config, ...config },
})

it('says that the database does not answer, before it asks it anything', async () => {
  expect(await reached(healthy)).toBe(null)
  expect((await serverVersion(healthy)).state).toBe('fine')
  const away = openDatabase({
    url: `postgresql://a@127.0.0.1:${await freePort()}/x`,
    log: createLog('silent'),
    poolSize: 1,
  })
  expect(await reached({ ...healthy, db: away })).toMatchObject({
    state: 'wrong',
    says: expect.stringMatching(/does not answer .*ECONNREFUSED.*DATABASE_URL/),
  })
  await away.close()
})

it('is content with a durable server, and not with one that may lose what it confirmed', async () => {
  expect((await durability(healthy)).state).toBe('fine')
  await db.pool.query('alter system set synchronous_commit = off')
  await db.pool.query('select pg_reload_conf()')
  // The server takes a new setting up in its own time.
  await eventually(async () => {
    const found = await durability(healthy)
    expect(found).toMatchObject({ state: 'wrong', remedy: expect.stringContaining('synchronous_commit = on') })
  })
  await db.pool.query('alter system reset synchronous_commit')
  await db.pool.query('select pg_reload_conf()')
})

it('names pending migrations, and those of a newer program', async () => {
  expect((await migrations(healthy)).state).toBe('fine')
  await db.pool.query(
    `update _prisma_migrations set migration_name = '29990101_later' where migration_name like '%find_homes'`,
  )
  expect(await migrations(healthy)).toMatchObject({ state: 'wrong', says: expect.stringContaining('29990101_later') })
  await db.pool.query(`delete from _prisma_migrations where migration_name = '29990101_later'`)
  expect(await migrations(healthy)).toMatchObject({ state: 'wrong', remedy: expect.stringContaining('migrate') })
})

it('compares the clocks of program and database', async () => {
  expect((await time({ ...healthy, now: Date.now() })).state).toBe('fine')
  expect((await time({ ...healthy, now: Date.now() - 60_000 })).state).toBe('wrong')
})

it('finds a clock that went back by what was written in its future', async () => {
  await db.pool.query(
    `insert into audit (at, actor_kind, action, noun, xid) values ($1, 'system', 'create', 'x', pg_current_xact_id())`,
    [new Date(Date.now() + day)],
  )
  expect(await time({ ...healthy, now: Date.now() })).toMatchObject({
    state: 'wrong',
    says: expect.stringContaining('still to come'),
  })
  await db.pool.query('truncate audit')
})

it('finds the line at which the audit log was altered', async () => {
  await db.pool.query(
    `insert into audit (at, actor_kind, action, noun, xid, hash)
     values ($1, 'system', 'create', 'x', pg_current_xact_id(), '\\x00')`,
    [new Date(now)],
  )
  expect((await verifyAuditChain(db)).whole).toBe(false)
  await db.pool.query('truncate audit')
  expect((await verifyAuditChain(db)).whole).toBe(true)
})

it('says that mails stay in the outbox while no mail server is set', async () => {
  expect(await mail(healthy)).toMatchObject({ state: 'notice', remedy: expect.stringContaining('SMTP_URL') })
})

it('greets the mail server and tells its own words when it does not answer', async () => {
  const sink = await aMailSink()
  expect((await mail(withConfig({ smtpUrl: sink.url }))).state).toBe('fine')
  await sink.close()
  const nobody = `smtp://127.0.0.1:${await freePort()}`
  expect(await mail(withConfig({ smtpUrl: nobody }))).toMatchObject({
    state: 'wrong',
    says: expect.stringContaining('ECONNREFUSED'),
  })
})

it('tells of mails that have been failing for over a quarter of an hour', async () => {
  const sink = await aMailSink()
  const waiting = (minutes: number) =>
    db.pool.query(
      `insert into mail (id, kind, to_address, subject, text_body, html_body, message_id, state, attempts, first_tried_at, last_reply, created_at)
       values (gen_random_uuid(), 'reminder', 'a@home.example', 's', 't', 'h', gen_random_uuid()::text, 'waiting', 1, $1, '451 try later', $1)`,
      [new Date(now - minutes * 60_000)],
    )
  await waiting(14)
  expect((await mail(withConfig({ smtpUrl: sink.url }))).state).toBe('fine')
  await waiting(16)
  expect(await mail(withConfig({ smtpUrl: sink.url }))).toMatchObject({
    state: 'wrong',
    says: expect.stringContaining('451 try later'),
  })
  await db.pool.query("update mail set state = 'refused', last_reply = '550 no such user'")
  expect(await mail(withConfig({ smtpUrl: sink.url }))).toMatchObject({
    state: 'notice',
    says: '2 mail(s) were refused for good',
  })
  await sink.close()
})

it('misses the proxy when people come by https and none is trusted', async () => {
  expect((await proxy(healthy)).state).toBe('fine')
  const behind = { publicUrl: 'https://radon.example' }
  expect((await proxy(withConfig(behind))).state).toBe('wrong')
  expect((await proxy(withConfig({ ...behind, trustedProxies: ['127.0.0.1'] }))).state).toBe('fine')
  expect((await proxy(withConfig({ ...behind, trustedProxies: ['0.0.0.0/0'] }))).state).toBe('wrong')
})

it('warns of a full disk before it is full', async () => {
  expect((await disk(healthy, 3e9)).state).toBe('fine')
  expect((await disk(healthy, 1.9e9)).state).toBe('notice')
  expect((await disk(healthy, 1e8)).state).toBe('wrong')
})

it('counts the age of a backup from the last one that was proved', async () => {
  expect((await backup(healthy)).state).toBe('notice')
  const taken = (days: number, proved: boolean) =>
    db.pool.query(`insert into backup_log values (gen_random_uuid(), $1, 'b.tar', 1, $2)`, [
      new Date(now - days * day),
      proved ? new Date(now - days * day) : null,
    ])
  await taken(1, false)
  expect((await backup(healthy)).state).toBe('notice')
  await taken(8, true)
  expect(await backup(healthy)).toMatchObject({ state: 'wrong', says: expect.stringContaining('8 days ago') })
  await taken(7, true)
  expect((await backup(healthy)).state).toBe('fine')
})

it('finds secrets that others on the machine can read', async () => {
  const file = join(dataDir, 'secrets.json')
  await writeFile(file, '{}', { mode: 0o600 })
  expect((await secretFiles(healthy)).state).toBe('fine')
  await chmod(file, 0o640)
  expect(await secretFiles(healthy)).toMatchObject({ state: 'wrong', remedy: expect.stringContaining('chmod 600') })
})

it('tells when no process works jobs', async () => {
  expect((await jobs(healthy)).state).toBe('notice')
  await db.pool.query('insert into worker_heartbeat values (gen_random_uuid(), $1, $1)', [new Date(now - 60_000)])
  expect((await jobs(healthy)).state).toBe('fine')
  expect((await jobs({ ...healthy, now: now + 120_000 })).state).toBe('notice')
})
