import { setTimeout as pause } from 'node:timers/promises'
import { afterAll, beforeAll, beforeEach, expect, it } from 'vitest'
import type { Database } from '../../src/platform/db/client.ts'

import { builtProgram } from '../support/built-program.ts'
import { anOpenDatabase } from '../support/database.ts'
import { dueReminders, remindersLeft } from '../support/due-reminders.ts'
import { eventually } from '../support/eventually.ts'
import { aMailSink, type MailSink } from '../support/mail-sink.ts'
import { reconcileMail } from '../support/reconcile.ts'
import { aCompany } from '../support/rows.ts'
import { type Runner, runnerRig } from '../support/runner-process.ts'
import { figures, long, seeded, size } from '../support/scale.ts'
import { smtpSteps, sqlSteps } from '../support/steps.ts'
import { aTcpProxy } from '../support/tcp-proxy.ts'

const minute = 60_000
const start = Date.parse('2026-03-02T15:00:00Z')
const rig = runnerRig('reminders')

let db: Database
let url: string
let close: () => Promise<void>
let sink: MailSink

beforeAll(async () => {
  builtProgram()
  sink = await aMailSink()
})
afterAll(() => sink.close())
beforeEach(async () => {
  ;({ db, url, close } = await anOpenDatabase())
  await aCompany(db.pool, { daily_mail_cap: 1_000_000, send_from_hour: 0, send_to_hour: 24 })
  sink.clear()
  rig.setClock(start)
  return close
})

const direct = () => ({ database: url, smtp: sink.url })

/** Works until nothing is left: after the last restart, one lease and one sweep later. */
async function finish(now: number): Promise<void> {
  for (let n = 0; n < 80 && (await remindersLeft(db.pool)) > 0; n++) {
    rig.setClock(now + n * minute)
    const run = rig.start('once', direct())
    expect(await run.ended, run.output()).toBe(0)
  }
}

it(`F01: killed with -9 at every ${size(10, 1)}th step of a run (each one in test:long), it loses no reminder and repeats none but where the server had said 250`, {
  timeout: 3_600_000,
}, async () => {
  const databaseProxy = await aTcpProxy(Number(new URL(url).port))
  const mailProxy = await aTcpProxy(sink.port)
  const proxied = new URL(url)
  proxied.port = String(databaseProxy.port)
  let step = 0
  let target = 0
  let run: Runner
  let answeredAt: string[] = []
  const onStep = (label: string) => {
    step += 1
    if (step !== target) return step < target
    answeredAt.push(label)
    run.kill()
    return false
  }
  let kills = 0
  let now = start
  const mayRepeat = new Set<string>()
  for (target = 1; ; target += size(10, 1)) {
    now += 10 * minute
    rig.setClock(now)
    await dueReminders(db.pool, `step${target}`, 2, now - minute)
    step = 0
    answeredAt = []
    databaseProxy.watch(sqlSteps(onStep))
    mailProxy.watch(smtpSteps(onStep))
    run = rig.start('once', { database: proxied.href, smtp: `smtp://127.0.0.1:${mailProxy.port}` })
    const code = await run.ended
    if (code === 0) break
    expect(answeredAt, run.output()).toHaveLength(1)
    kills += 1
    const { rows } = await db.pool.query<{ message_id: string }>(`select message_id from mail where state <> 'sent'`)
    for (const { message_id } of rows)
      if (sink.ledger.some(line => line.messageId === message_id)) mayRepeat.add(message_id)
    now += 10 * minute
    await finish(now)
  }
  await finish(now + 10 * minute)
  const reckoning = await reconcileMail(db.pool, sink.ledger)
  const unlicensed = reckoning.duplicated.filter(({ messageId, copies }) => copies > 2 || !mayRepeat.has(messageId))
  figures('F01 every step', {
    steps: step,
    kills,
    reminders: reckoning.accepted - reckoning.duplicated.length,
    lost: reckoning.lost.length,
    'extra copies': reckoning.duplicated.length,
    'killed between 250 and commit': mayRepeat.size,
    renamed: reckoning.renamed.length,
  })
  expect(kills).toBeGreaterThan(size(4, 40))
  expect(reckoning).toMatchObject({ lost: [], renamed: [], unexplained: [] })
  expect(unlicensed).toEqual([])
  expect(await remindersLeft(db.pool)).toBe(0)
  await Promise.all([databaseProxy.close(), mailProxy.close()])
})

it('F01: two processes killed at random times send every reminder of a long list', { timeout: 3_600_000 }, async () => {
  const reminders = size(100, 2000)
  const kills = size(6, 300)
  await dueReminders(db.pool, 'random', reminders, start - minute)
  const random = seeded(42)
  const running = [rig.start('loop', direct()), rig.start('loop', direct())]
  const mayRepeat = new Set<string>()
  await eventually(() => sink.ledger.length > 0, 30_000)
  for (let n = 0; n < kills; n++) {
    await pause(400 + random() * (long ? 600 : 500))
    const victim = Math.floor(random() * running.length)
    const { child } = running[victim]!
    expect(child.exitCode, running[victim]!.output()).toBeNull()
    running[victim]!.kill()
    await running[victim]!.ended
    running[victim] = rig.start('loop', direct())
    const { rows } = await db.pool.query<{ message_id: string }>(
      `select message_id from mail where state = 'waiting' and lease_until is not null`,
    )
    for (const { message_id } of rows)
      if (sink.ledger.some(line => line.messageId === message_id)) mayRepeat.add(message_id)
  }
  for (const run of running) run.kill()
  await Promise.all(running.map(run => run.ended))
  const sentMeanwhile = sink.ledger.length
  await finish(start + 10 * minute)
  const reckoning = await reconcileMail(db.pool, sink.ledger)
  figures('F01 at random', {
    kills,
    reminders,
    'sent while being killed': sentMeanwhile,
    lost: reckoning.lost.length,
    'extra copies': reckoning.duplicated.length,
    renamed: reckoning.renamed.length,
  })
  expect(sentMeanwhile).toBeGreaterThan(0)
  expect(new Set(sink.ledger.map(line => line.to[0])).size).toBe(reminders)
  expect(reckoning).toMatchObject({ lost: [], renamed: [], unexplained: [] })
  expect(reckoning.duplicated.length).toBeLessThanOrEqual(kills)
  expect(Math.max(0, ...reckoning.duplicated.map(({ copies }) => copies))).toBeLessThanOrEqual(3)
  expect(await remindersLeft(db.pool)).toBe(0)
})

it.each(long ? [2, 5] : [3])(
  'F02: %i processes that sweep the same list send each reminder exactly once',
  { timeout: 3_600_000 },
  async processes => {
    const reminders = size(100, 5000)
    await dueReminders(db.pool, `sweep${processes}`, reminders, start - minute)
    const running = Array.from({ length: processes }, () => rig.start('loop', direct()))
    const deadline = performance.now() + size(60_000, 1_800_000)
    while ((await remindersLeft(db.pool)) > 0 && performance.now() < deadline) await pause(200)
    for (const run of running) run.kill()
    await Promise.all(running.map(run => run.ended))
    const reckoning = await reconcileMail(db.pool, sink.ledger)
    figures(`F02 ${processes} processes`, {
      reminders,
      sent: sink.ledger.length,
      lost: reckoning.lost.length,
      duplicated: reckoning.duplicated.length,
    })
    expect(sink.ledger).toHaveLength(reminders)
    expect(reckoning).toMatchObject({ lost: [], duplicated: [], renamed: [], unexplained: [] })
  },
)
