import { afterEach, beforeEach, expect, it } from 'vitest'
import { workOf } from '../../src/app.ts'
import { startWorker, type Worker } from '../../src/platform/jobs/worker.ts'
import { aDueHome, due, mails } from '../jobs/due-homes.ts'
import { eventually } from '../support/eventually.ts'
import { aMailSink, type MailSink } from '../support/mail-sink.ts'
import { prepareQueue } from '../support/queue.ts'
import { reconcileMail } from '../support/reconcile.ts'
import { figures, long } from '../support/scale.ts'
import { smtpSteps } from '../support/steps.ts'
import { aTcpProxy, type TcpProxy } from '../support/tcp-proxy.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

const minute = 60_000
let sink: MailSink
let proxy: TcpProxy
let app: TestApp
let worker: Worker

beforeEach(async () => {
  sink = await aMailSink()
  proxy = await aTcpProxy(sink.port)
  app = await buildTestApp({ at: due, env: { SMTP_URL: `smtp://127.0.0.1:${proxy.port}` } })
  await prepareQueue(app.databaseUrl)
  worker = await startWorker({ ...app, ...workOf(app), periodic: [] })
  return async () => {
    await worker.stop()
    await app.close()
    await proxy.close()
    await sink.close()
  }
})
afterEach(() => proxy.speak())

const ask = (name: 'sweep-reminders' | 'send-mails') =>
  app.db.transaction(tx => app.jobs.enqueue(tx, name, {}, { key: name }))
const states = async () => (await mails(app.db.pool)).map(mail => mail.state)

/** The server stops speaking: before its greeting, or (30 s instead of 15) when the message is to come. */
const silences: readonly [string, () => void][] = [
  ['before its greeting', () => proxy.goSilent()],
  ...(long
    ? [['before it takes the message', () => proxy.watch(smtpSteps(label => label !== 'DATA'))] as [string, () => void]]
    : []),
]

it.each(silences)(
  'F06: a mail server that falls silent %s is given up; reminders are written meanwhile and all go out later',
  async (_, silence) => {
    silence()
    for (let n = 0; n < 3; n++) await aDueHome(app.db.pool, [due])
    const start = performance.now()
    await ask('sweep-reminders')
    await eventually(() => proxy.connections > 0)
    // While one mail waits for the server, others are written and pages are answered.
    const meanwhile = await aDueHome(app.db.pool, [due])
    await ask('sweep-reminders')
    await eventually(async () => (await mails(app.db.pool)).some(mail => mail.to === meanwhile.owner.email))
    expect((await fetch(`${app.url}/sign-in`)).status).toBe(200)
    expect((await app.db.pool.query('select 1 from mail where last_reply is not null')).rowCount).toBe(0)

    // Given up: nobody holds a mail any more.
    await eventually(async () => {
      const { rows } = await app.db.pool.query(
        'select count(last_reply)::int as told, count(lease_until)::int as held from mail',
      )
      expect(rows[0].held).toBe(0)
      expect(rows[0].told).toBeGreaterThan(0)
    })
    figures('F06 silent mail server', { 'given up after s': ((performance.now() - start) / 1000).toFixed(1) })
    expect(await states()).toEqual(Array(4).fill('waiting'))
    expect((await mails(app.db.pool)).map(mail => mail.attempts)).toEqual([0, 0, 0, 0])

    proxy.speak()
    proxy.watch()
    app.clock.advance(6 * minute)
    await ask('send-mails')
    await eventually(async () => (await states()).every(state => state === 'sent'))
    expect(await reconcileMail(app.db.pool, sink.ledger)).toMatchObject({
      lost: [],
      duplicated: [],
      unexplained: [],
      accepted: 4,
    })
  },
)
