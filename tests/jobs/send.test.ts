import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { sweepReminders } from '../../src/features/reminders/sweep.ts'
import { refusing } from '../support/mail-sink.ts'
import { reconcileMail } from '../support/reconcile.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aDueHome, due, emptied, mails, notices } from './due-homes.ts'

const minute = 60_000
const hour = 60 * minute
let app: TestApp

beforeAll(async () => {
  app = await buildTestApp({ at: due })
})
beforeEach(() => emptied(app))
afterAll(() => app.close())

/** Works the jobs again every hour until the mails have come to rest, or so many hours are over. */
async function pass(hours: number): Promise<void> {
  for (let n = 0; n < hours; n++) {
    app.clock.advance(hour)
    await app.runJobs()
    if ((await mails(app.db.pool)).every(mail => mail.state !== 'waiting')) return
  }
}

describe('a reminder', () => {
  test('reaches the mail server once, with a link that opens and a way to stop', async () => {
    const { property } = await aDueHome(app.db.pool, [due])
    await app.runJobs()
    await app.runJobs()
    const [line, ...more] = app.mailbox.ledger
    expect(more).toEqual([])
    const raw = line!.raw.replaceAll('=\r\n', '')
    expect(raw).toMatch(/^Auto-Submitted: auto-generated/m)
    expect(raw).toMatch(/^List-Unsubscribe-Post: List-Unsubscribe=One-Click/m)
    expect(raw).toContain('Tue 12 May 2026')
    const [address] = /http:\/\/127\.0\.0\.1:\d+\/h\/[\w-]+\.[\w-]+(?![\w/-])/.exec(raw)!
    const opened = await fetch(address!, { redirect: 'manual' })
    expect(opened.status).toBe(303)
    const { rows } = await app.db.pool.query('select property_id from homeowner_link where id = $1', [
      opened.headers.get('location')!.split('/').at(-1),
    ])
    expect(rows[0].property_id).toBe(property.id)
    expect(await notices(app.db.pool)).toMatchObject([{ state: 'sent' }])
    expect(await reconcileMail(app.db.pool, app.mailbox.ledger)).toMatchObject({
      lost: [],
      duplicated: [],
      renamed: [],
    })
  })

  test('that meets a 4xx is tried again with growing pauses over three days, then is on the list of failed ones', async () => {
    await aDueHome(app.db.pool, [due])
    app.mailbox.behave(refusing('RCPT', 451, '4.3.0 Try again later'))
    await app.runJobs()
    expect(await mails(app.db.pool)).toMatchObject([{ state: 'waiting', reply: expect.stringContaining('451') }])
    await pass(120)
    const spent = app.clock.now() - Date.parse(due)
    expect(spent).toBeGreaterThan(72 * hour)
    expect(await mails(app.db.pool)).toMatchObject([{ state: 'refused' }])
    expect(await notices(app.db.pool)).toMatchObject([{ state: 'refused', reason: expect.stringContaining('451') }])
  })

  test('that meets a 4xx once arrives at the next try', async () => {
    await aDueHome(app.db.pool, [due])
    app.mailbox.behave(refusing('RCPT', 450, '4.2.0 Greylisted'))
    await app.runJobs()
    app.mailbox.behave()
    await pass(3)
    expect(app.mailbox.ledger).toHaveLength(1)
    expect(await notices(app.db.pool)).toMatchObject([{ state: 'sent' }])
  })

  test('that meets a 5xx is not tried again; the address is marked and the others go out', async () => {
    const gone = await aDueHome(app.db.pool, [due], { customer: { email: 'gone@home.example' } })
    await aDueHome(app.db.pool, [due], { customer: { email: 'here@home.example' } })
    app.mailbox.behave(refusing('RCPT', 550, '5.1.1 No such user', /gone/))
    await app.runJobs()
    app.clock.advance(hour)
    await app.runJobs()
    const written = await mails(app.db.pool)
    expect(written.find(mail => mail.to === 'gone@home.example')).toMatchObject({
      state: 'refused',
      attempts: 1,
      reply: expect.stringContaining('No such user'),
    })
    expect(app.mailbox.ledger.map(line => line.to)).toEqual([['here@home.example']])
    const { rows } = await app.db.pool.query('select mail_refusal from customer where id = $1', [gone.owner.id])
    expect(rows[0].mail_refusal).toContain('No such user')
  })
})

describe('a reminder whose reason has gone before it is sent', () => {
  test.each([
    ['done', 'update obligation set fulfilled_at = $1', /done/],
    ['sold', `update ownership set until_on = '2026-03-02'::date where $1::timestamptz is not null`, /changed hands/],
    ['stopped', 'update customer set mails_stopped_at = $1', /no more mails/],
  ])('%s: is dropped and says why', async (_, change, why) => {
    await aDueHome(app.db.pool, [due])
    await sweepReminders(app)
    await app.db.pool.query(change, [new Date(app.clock.now())])
    await app.runJobs()
    expect(app.mailbox.ledger).toEqual([])
    expect(await mails(app.db.pool)).toMatchObject([{ state: 'dropped', reply: expect.stringMatching(why) }])
    expect(await notices(app.db.pool)).toMatchObject([{ state: 'dropped' }])
  })

  test('at one of two homes: only the other is written of', async () => {
    const { owner, obligation } = await aDueHome(app.db.pool, [due])
    await aDueHome(app.db.pool, [due], { owner, property: { street: '9 Birch Road' } })
    await sweepReminders(app)
    await app.db.pool.query('update obligation set fulfilled_at = $2 where id = $1', [obligation.id, new Date(due)])
    await app.runJobs()
    const [line] = app.mailbox.ledger
    expect(line!.raw).toContain('Birch Road')
    expect(line!.raw).not.toContain('Alder Street')
    expect((await notices(app.db.pool)).map(notice => notice.state).sort()).toEqual(['dropped', 'sent'])
  })

  test('because its day moved ahead: comes again in its own time', async () => {
    const { obligation } = await aDueHome(app.db.pool, [due])
    await sweepReminders(app)
    const later = '2026-03-16T14:00:00Z'
    await app.db.pool.query('update obligation set remind_at = array[$2::timestamptz] where id = $1', [
      obligation.id,
      later,
    ])
    await app.runJobs()
    expect(app.mailbox.ledger).toEqual([])
    app.clock.set(later)
    await app.runJobs()
    expect(app.mailbox.ledger).toHaveLength(1)
  })
})

describe('without a mail server', () => {
  test('reminders are held, and are not sent by themselves when one is set', async () => {
    const held = await buildTestApp({ at: due, env: { SMTP_URL: '' } })
    await aDueHome(held.db.pool, [due])
    await held.runJobs()
    expect(await mails(held.db.pool)).toMatchObject([{ state: 'held' }])
    const later = await buildTestApp({ at: due, databaseUrl: held.databaseUrl })
    await later.runJobs()
    expect(later.mailbox.ledger).toEqual([])
    const office = await later.as.office()
    const [mail] = await mails(later.db.pool)
    expect((await office.submit(`/outbox/${mail!.id}/resend`)).status).toBe(303)
    await later.runJobs()
    expect(later.mailbox.ledger).toHaveLength(1)
    await later.close()
    await held.close()
  })
})
