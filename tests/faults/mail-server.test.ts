import { setTimeout as pause } from 'node:timers/promises'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import type { Database } from '../../src/platform/db/client.ts'
import { sendDueMails } from '../../src/platform/mail/send-due-mails.ts'
import type { Sending } from '../../src/platform/mail/send-mail.ts'
import { type MailTransport, smtpTransport } from '../../src/platform/mail/transport.ts'
import { aClock, day, hour, type TestClock } from '../support/clock.ts'
import { anOpenDatabase } from '../support/database.ts'
import { aLog } from '../support/log.ts'
import { aMailSink, greylisting, type MailSink, refusing } from '../support/mail-sink.ts'
import { mailStates, plainOwner, queueMails } from '../support/mails.ts'
import { freePort } from '../support/postgres.ts'
import { reconcileMail } from '../support/reconcile.ts'
import { figures, long, size } from '../support/scale.ts'

const minute = 60_000
let db: Database
let closeDb: () => Promise<void>
let sink: MailSink
let clock: TestClock
let transports: MailTransport[]

beforeAll(async () => {
  ;({ db, close: closeDb } = await anOpenDatabase())
  sink = await aMailSink()
})
afterAll(async () => {
  await closeDb()
  await sink.close()
})
beforeEach(() => {
  clock = aClock()
  transports = []
})
afterEach(async () => {
  for (const transport of transports) transport.close()
  sink.behave()
  sink.clear()
  await db.pool.query('delete from mail')
})

function sending(url = sink.url, gone?: ReadonlySet<string>): Sending {
  const transport = smtpTransport(url)
  transports.push(transport)
  return { db, transport, clock, log: aLog('silent').log, owner: plainOwner(gone) }
}
const people = ['a@home.example', 'b@home.example', 'c@home.example']

describe('F07: a server that is away keeps every mail waiting and wears none out', () => {
  it.each([
    ['refuses the connection', async () => `smtp://127.0.0.1:${await freePort()}`],
    ['has no address', async () => 'smtp://no-such-host.invalid:25'],
    [
      'shows a certificate nobody trusts',
      async () => {
        const untrusted = await aMailSink({ untrustedTls: true })
        return untrusted.url
      },
    ],
    [
      'answers 421 at once',
      async () => {
        sink.behave(refusing('CONNECT', 421, '4.3.2 Service not available'))
        return sink.url
      },
    ],
  ])('that %s', async (_, url) => {
    await queueMails(db, clock, people)
    clock.advance(minute)
    const sent = await sendDueMails(sending(await url()))
    expect(sent).toEqual({ sent: 0, waiting: 1, refused: 0, dropped: 0 })
    const states = await mailStates(db)
    expect(states.map(mail => mail.state)).toEqual(['waiting', 'waiting', 'waiting'])
    expect(states[0]!.attempts).toBe(0)
    expect(states[0]!.reply).not.toBe('')
    expect(states[0]!.next! - clock.now()).toBe(5 * minute)
  })
})

describe('F07: a reply for later leaves that mail waiting and lets the others through', () => {
  it.each([
    ['RCPT', 450, '4.2.1 Mailbox busy'],
    ['RCPT', 451, '4.3.0 Local error'],
    ['RCPT', 452, '4.2.2 Mailbox full'],
    ['DATA', 451, '4.7.1 Try again'],
  ] as const)('%s %i', async (verb, code, text) => {
    sink.behave(refusing(verb, code, text, /^b@/))
    await queueMails(db, clock, people)
    clock.advance(minute)
    expect(await sendDueMails(sending())).toEqual({ sent: 2, waiting: 1, refused: 0, dropped: 0 })
    const [, b] = await mailStates(db)
    expect(b).toMatchObject({ state: 'waiting', attempts: 1, code, reply: expect.stringContaining(text) })
    sink.behave()
    clock.set(b!.next!)
    expect(await sendDueMails(sending())).toMatchObject({ sent: 1 })
    expect(await reconcileMail(db.pool, sink.ledger)).toMatchObject({
      lost: [],
      duplicated: [],
      unexplained: [],
      accepted: 3,
    })
  })
})

describe('F07: a reply for good ends that mail with the server’s own words', () => {
  it.each([
    ['RCPT', 550, '5.1.1 No such user here'],
    ['RCPT', 554, '5.7.1 Relay access denied'],
    ['DATA', 552, '5.3.4 Message too big'],
    ['DATA', 554, '5.7.1 Looks like spam'],
  ] as const)('%s %i', async (verb, code, text) => {
    sink.behave(refusing(verb, code, text, /^b@/))
    await queueMails(db, clock, people)
    clock.advance(minute)
    expect(await sendDueMails(sending())).toEqual({ sent: 2, waiting: 0, refused: 1, dropped: 0 })
    const [, b] = await mailStates(db)
    expect(b).toMatchObject({ state: 'refused', code, reply: expect.stringContaining(text), next: null })
    clock.advance(10 * day)
    expect(await sendDueMails(sending())).toMatchObject({ sent: 0, refused: 0 })
    expect(sink.ledger).toHaveLength(2)
  })
})

it('F07: a wrong login stops the batch after one try', async () => {
  const guarded = await aMailSink({ login: { user: 'underslab', password: 'right' } })
  const url = guarded.url.replace('right', 'wrong')
  await queueMails(db, clock, people)
  clock.advance(minute)
  expect(await sendDueMails(sending(url))).toMatchObject({ sent: 0, waiting: 1 })
  expect(guarded.asks.filter(ask => ask.verb === 'AUTH')).toHaveLength(1)
  expect((await mailStates(db)).map(mail => mail.state)).toEqual(['waiting', 'waiting', 'waiting'])
  clock.advance(5 * minute)
  expect(await sendDueMails(sending(guarded.url))).toMatchObject({ sent: 3 })
  await guarded.close()
})

it('F01: several dialogues go on at once, but never is more than one message taken whose outcome is not kept', async () => {
  const all = Array.from({ length: 30 }, (_, n) => `p${n}@home.example`)
  await queueMails(db, clock, all)
  clock.advance(minute)
  const asked = (verb: string) => sink.asks.filter(ask => ask.verb === verb).length
  const keptNow = async () => (await mailStates(db)).filter(mail => mail.state === 'sent').length
  const inDoubt: Promise<number>[] = []
  const begun: number[] = []
  // Takes its time for a message that it has in full: another one sent in full meanwhile would be counted.
  sink.behave(ask => {
    if (ask.verb !== 'DATA') return undefined
    begun.push(asked('MAIL') - sink.ledger.length)
    const whole = asked('DATA')
    const left = keptNow().then(kept => whole - kept)
    inDoubt.push(left)
    return { waitFor: Promise.all([left, pause(20)]) }
  })
  expect(await sendDueMails(sending())).toMatchObject({ sent: all.length })
  expect(await Promise.all(inDoubt)).toEqual(all.map(() => 1))
  expect(Math.max(...begun)).toBeGreaterThan(1)
})

it('F07: a line cut before 250 sends the same message again under the same Message-ID', async () => {
  let cuts = 0
  sink.behave(ask => (ask.verb === 'DATA' && cuts++ === 0 ? { cut: true } : undefined))
  await queueMails(db, clock, people.slice(0, 1))
  clock.advance(minute)
  expect(await sendDueMails(sending())).toMatchObject({ sent: 0, waiting: 1 })
  clock.advance(10 * minute)
  expect(await sendDueMails(sending())).toMatchObject({ sent: 1 })
  expect(sink.ledger.map(line => line.answered)).toEqual([false, true])
  expect(new Set(sink.ledger.map(line => line.messageId)).size).toBe(1)
})

it('F07: a server that answers late is waited for, but not for ever', async () => {
  sink.behave(ask => (ask.verb === 'DATA' ? { waitMs: long ? 40_000 : 1500 } : undefined))
  await queueMails(db, clock, people.slice(0, 1))
  clock.advance(minute)
  const start = performance.now()
  const sent = await sendDueMails(sending())
  figures('F07 late 250', {
    'waited s': ((performance.now() - start) / 1000).toFixed(1),
    sent: sent.sent,
    waiting: sent.waiting,
  })
  expect(sent).toMatchObject(long ? { sent: 0, waiting: 1 } : { sent: 1 })
  expect(performance.now() - start).toBeLessThan(35_000)
})

it('F07: greylisting for a quarter of an hour delays a mail by less than an hour', async () => {
  sink.behave(greylisting(15 * minute, clock.now))
  await queueMails(db, clock, people)
  const queued = clock.now()
  clock.advance(minute)
  for (let n = 0; n < 60 && (await mailStates(db)).some(mail => mail.state === 'waiting'); n++) {
    await sendDueMails(sending())
    clock.advance(minute)
  }
  const states = await mailStates(db)
  expect(states.map(mail => mail.state)).toEqual(['sent', 'sent', 'sent'])
  expect(Math.max(...states.map(mail => mail.sentAt! - queued))).toBeLessThan(hour)
  expect(await reconcileMail(db.pool, sink.ledger)).toMatchObject({ lost: [], duplicated: [] })
})

it('F07: a mail that is always put off is tried for at least three days, ever less often, then handed to the office', async () => {
  sink.behave(refusing('RCPT', 450, '4.2.1 Mailbox busy'))
  await queueMails(db, clock, people.slice(0, 2))
  const queued = clock.now()
  clock.advance(minute)
  const tries: number[] = []
  for (let n = 0; n < 40; n++) {
    const waiting = (await mailStates(db)).filter(mail => mail.state === 'waiting')
    if (waiting.length === 0) break
    clock.set(Math.max(clock.now(), Math.min(...waiting.map(mail => mail.next!))))
    const before = sink.asks.filter(ask => ask.verb === 'RCPT' && ask.to === people[0]).length
    await sendDueMails(sending())
    if (sink.asks.filter(ask => ask.verb === 'RCPT' && ask.to === people[0]).length > before) tries.push(clock.now())
  }
  const states = await mailStates(db)
  expect(states.map(mail => mail.state)).toEqual(['refused', 'refused'])
  const lasted = tries.at(-1)! - queued
  figures('F07 put off', { tries: tries.length, 'over h': (lasted / hour).toFixed(1) })
  expect(lasted).toBeGreaterThan(3 * day)
  expect(lasted).toBeLessThan(5 * day)
  const gaps = tries.slice(1).map((at, n) => at - tries[n]!)
  expect(gaps.at(-1)!).toBeGreaterThan(10 * gaps[0]!)
})

it('F08: after a day without a mail server all go out, oldest first, except those whose reason has gone', async () => {
  const count = size(90, 600)
  const all = Array.from({ length: count }, (_, n) => `p${String(n).padStart(4, '0')}@home.example`)
  const gone = new Set(all.filter((_, n) => n % 10 === 3))
  sink.behave(refusing('CONNECT', 421, '4.3.2 Down for a day'))
  await queueMails(db, clock, all)
  const end = clock.now() + day
  while (clock.now() < end) {
    await sendDueMails(sending(sink.url, gone))
    clock.advance(90 * minute)
  }
  sink.behave()
  const minutes: number[] = []
  for (let n = 0; n < 200 && (await mailStates(db)).some(mail => mail.state === 'waiting'); n++) {
    minutes.push((await sendDueMails(sending(sink.url, gone))).sent)
    clock.advance(minute)
  }
  const reckoning = await reconcileMail(db.pool, sink.ledger)
  figures('F08', {
    queued: count,
    sent: sink.ledger.length,
    dropped: gone.size,
    lost: reckoning.lost.length,
    duplicated: reckoning.duplicated.length,
    'most a minute': Math.max(...minutes),
  })
  expect(reckoning).toMatchObject({ lost: [], duplicated: [], unexplained: [] })
  const order = sink.ledger.map(line => line.to[0])
  expect([...order].sort()).toEqual(all.filter(address => !gone.has(address)))
  expect(Math.max(...minutes)).toBeLessThanOrEqual(60)
  const late = order.findIndex((address, n) => n > 60 && address! < order[n - 60]!)
  expect(late).toBe(-1)
})
