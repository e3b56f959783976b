import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { reminderRoundOf } from '../../src/domain/reminder-round.ts'
import { sweepReminders } from '../../src/features/reminders/sweep.ts'
import { aCustomerRow, type Row } from '../support/rows.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aDueHome, due, emptied, mails, notices } from './due-homes.ts'

const month = ['2026-02-01T15:00:00Z', '2026-02-15T15:00:00Z', '2026-02-22T15:00:00Z', due]
let app: TestApp

beforeAll(async () => {
  app = await buildTestApp({ at: due })
})
beforeEach(() => emptied(app))
afterAll(() => app.close())

describe('a sweep', () => {
  test('writes one mail for what has come due and none a millisecond before', async () => {
    await aDueHome(app.db.pool, [due])
    app.clock.advance(-1)
    expect(await sweepReminders(app)).toEqual({ mails: 0, unreachable: 0 })
    app.clock.advance(1)
    expect(await sweepReminders(app)).toEqual({ mails: 1, unreachable: 0 })
  })

  test('twice in a row writes nothing the second time', async () => {
    await aDueHome(app.db.pool, [due])
    await sweepReminders(app)
    expect(await sweepReminders(app)).toEqual({ mails: 0, unreachable: 0 })
    expect(await mails(app.db.pool)).toHaveLength(1)
  })

  test('by five at once writes each reminder once', async () => {
    for (let n = 0; n < 60; n++) await aDueHome(app.db.pool, [due])
    await app.db.pool.query('update company set daily_mail_cap = 1000')
    const swept = await Promise.all(Array.from({ length: 5 }, () => sweepReminders(app)))
    expect(swept.reduce((sum, one) => sum + one.mails, 0)).toBe(60)
    expect(new Set((await mails(app.db.pool)).map(mail => mail.to)).size).toBe(60)
    expect(await notices(app.db.pool)).toHaveLength(60)
  })

  test('after a month of silence sends one mail, not four, and says how late it is', async () => {
    const { obligation } = await aDueHome(app.db.pool, month)
    app.clock.set('2026-03-04T16:00:00Z')
    expect((await sweepReminders(app)).mails).toBe(1)
    expect(await notices(app.db.pool)).toEqual([
      ...[1, 2, 3].map(rung => ({
        obligationId: obligation.id,
        rung,
        round: 1,
        state: 'skipped',
        reason: 'a later reminder had come due',
      })),
      { obligationId: obligation.id, rung: 4, round: 1, state: 'queued', reason: 'late by 2 days' },
    ])
  })

  test('leaves the rungs that are still to come', async () => {
    const { obligation } = await aDueHome(app.db.pool, [due, '2026-04-01T15:00:00Z'])
    await sweepReminders(app)
    const { rows } = await app.db.pool.query('select next_remind_at as next from obligation where id = $1', [
      obligation.id,
    ])
    expect(rows[0].next).toBe(Date.parse('2026-04-01T15:00:00Z'))
  })

  test('puts two homes of one owner into one mail with a link for each', async () => {
    const { owner, property } = await aDueHome(app.db.pool, [due])
    const other = await aDueHome(app.db.pool, [due], { owner, property: { street: '9 Birch Road' } })
    await sweepReminders(app)
    const [mail, ...more] = await mails(app.db.pool)
    expect(more).toEqual([])
    expect(mail!.text).toContain('8 Alder Street, Duluth')
    expect(mail!.text).toContain('9 Birch Road, Duluth')
    const { rows } = await app.db.pool.query('select id, property_id from homeowner_link')
    expect(rows.map(row => row.property_id).sort()).toEqual([property.id, other.property.id].sort())
    for (const { id } of rows) expect(mail!.text).toContain(`[[page:${id}]]`)
  })

  test('never mixes the homes of two people', async () => {
    const one = await aDueHome(app.db.pool, [due])
    const two = await aDueHome(app.db.pool, [due], { property: { street: '9 Birch Road' } })
    await sweepReminders(app)
    const written = await mails(app.db.pool)
    const to = (owner: Row) => written.find(mail => mail.to === owner.email)!.text
    expect(to(one.owner)).not.toContain('Birch Road')
    expect(to(two.owner)).not.toContain('Alder Street')
  })

  test('keeps no usable address in the mail', async () => {
    await aDueHome(app.db.pool, [due])
    await sweepReminders(app)
    const [mail] = await mails(app.db.pool)
    expect(mail!.text + mail!.html).not.toMatch(/\/h\/[\w-]/)
  })
})

describe('a due day that moves', () => {
  const week = 7 * 86_400_000
  test('a little never sends a rung again', async () => {
    const { obligation } = await aDueHome(app.db.pool, [due])
    await sweepReminders(app)
    const round = reminderRoundOf(
      { kind: 'retest', causeId: 'x', round: 1, dueAt: Date.parse('2026-05-13T04:59:59.999Z') },
      Date.parse(due) + week,
    )
    expect(round).toBe(1)
    await moved(obligation.id, round, '2026-03-09T15:00:00Z')
    app.clock.set('2026-03-09T15:00:00Z')
    await sweepReminders(app)
    expect(await mails(app.db.pool)).toHaveLength(1)
  })

  test('past its old due day starts a new round', async () => {
    const { obligation } = await aDueHome(app.db.pool, [due])
    await sweepReminders(app)
    const first = '2026-06-01T14:00:00Z'
    const kept = { kind: 'retest', causeId: 'x', round: 1, dueAt: Date.parse('2026-05-13T04:59:59.999Z') }
    await moved(obligation.id, reminderRoundOf(kept, Date.parse(first)), first)
    app.clock.set(first)
    await sweepReminders(app)
    expect((await notices(app.db.pool)).map(notice => notice.round)).toEqual([1, 2])
    expect(await mails(app.db.pool)).toHaveLength(2)
  })

  const moved = (id: string, round: number, remindAt: string) =>
    app.db.pool.query(
      'update obligation set round = $2, remind_at = array[$3::timestamptz], next_remind_at = $3 where id = $1',
      [id, round, remindAt],
    )
})

describe('nothing is written', () => {
  test('while reminders are paused', async () => {
    await app.db.pool.query('update company set reminders_released_at = null')
    await aDueHome(app.db.pool, [due])
    expect(await sweepReminders(app)).toEqual({ mails: 0, unreachable: 0 })
    expect(await notices(app.db.pool)).toEqual([])
  })

  test('beyond the daily cap; the rest goes the next day, those waiting longest first', async () => {
    await app.db.pool.query('update company set daily_mail_cap = 2')
    const late = await aDueHome(app.db.pool, ['2026-03-01T15:00:00Z'])
    const middle = await aDueHome(app.db.pool, ['2026-03-01T16:00:00Z'])
    const last = await aDueHome(app.db.pool, [due])
    await sweepReminders(app)
    expect((await mails(app.db.pool)).map(mail => mail.to).sort()).toEqual(
      [late, middle].map(({ owner }) => owner.email).sort(),
    )
    app.clock.set('2026-03-03T15:00:00Z')
    await sweepReminders(app)
    expect((await mails(app.db.pool)).map(mail => mail.to)).toContain(last.owner.email)
  })

  test('by several at once beyond the cap', async () => {
    await app.db.pool.query('update company set daily_mail_cap = 7')
    for (let n = 0; n < 20; n++) await aDueHome(app.db.pool, [due])
    await Promise.all(Array.from({ length: 4 }, () => sweepReminders(app)))
    expect(await mails(app.db.pool)).toHaveLength(7)
  })

  test('to an owner of yesterday', async () => {
    const { owner, property } = await aDueHome(app.db.pool, [due])
    const buyer = await aCustomerRow(app.db.pool, { name: 'Bo Buyer' })
    await app.db.pool.query('update ownership set until_on = $2 where property_id = $1', [property.id, '2026-03-01'])
    await app.db.pool.query(
      `insert into ownership (id, property_id, customer_id, from_on, created_at) values (gen_random_uuid(), $1, $2, $3, now())`,
      [property.id, buyer.id, '2026-03-01'],
    )
    await sweepReminders(app)
    const written = await mails(app.db.pool)
    expect(written.map(mail => mail.to)).toEqual([buyer.email])
    expect(written[0]!.to).not.toBe(owner.email)
  })

  test.each([
    ['no address', { email: null }, /No mail address/],
    ['an address that is none', { email: 'ann@' }, /is not one/],
    ['a wish for no mails', { mails_stopped_at: due }, /asked for no mails/],
    ['an address once refused', { mail_refused_at: due }, /was refused/],
    ['a wish to be phoned', { preferred_channel: 'phone' }, /wants to be phoned/],
  ])('to somebody with %s: the notice says so', async (_, customer, reason) => {
    await aDueHome(app.db.pool, [due], { customer })
    expect(await sweepReminders(app)).toEqual({ mails: 0, unreachable: 1 })
    const [notice] = await notices(app.db.pool)
    expect(notice).toMatchObject({ state: 'unreachable', reason: expect.stringMatching(reason) })
  })

  test('for a home without an owner: the notice says so', async () => {
    const { property } = await aDueHome(app.db.pool, [due])
    await app.db.pool.query('delete from ownership where property_id = $1', [property.id])
    await sweepReminders(app)
    expect(await notices(app.db.pool)).toMatchObject([{ state: 'unreachable', reason: 'No owner is on record.' }])
  })
})

// The hours of wall clocks on the days of both changes, from the zones' published rules (IANA tzdata).
describe('the sending hours, 9 to 18 by the clock of the home', () => {
  test.each([
    ['the first day of summer time, an hour early', 'America/Chicago', '2026-03-08T13:59:59Z', '2026-03-08T14:00:00Z'],
    ['the last winter day', 'America/Chicago', '2026-03-07T14:59:59Z', '2026-03-07T15:00:00Z'],
    ['the first day of winter time', 'America/Chicago', '2026-11-01T14:59:59Z', '2026-11-01T15:00:00Z'],
    ['the last summer day', 'America/Chicago', '2026-10-31T13:59:59Z', '2026-10-31T14:00:00Z'],
    ['a change of half an hour', 'Australia/Lord_Howe', '2026-04-04T22:29:59Z', '2026-04-04T22:30:00Z'],
    ['a change at midnight', 'America/Havana', '2026-03-08T12:59:59Z', '2026-03-08T13:00:00Z'],
  ])('open at 9 on %s', async (_, zone, before, open) => {
    await aDueHome(app.db.pool, ['2026-01-01T00:00:00Z'], { property: { zone } })
    app.clock.set(before)
    expect((await sweepReminders(app)).mails).toBe(0)
    app.clock.set(open)
    expect((await sweepReminders(app)).mails).toBe(1)
  })

  test('close at 18', async () => {
    await aDueHome(app.db.pool, [due])
    app.clock.set('2026-03-03T00:00:00Z')
    expect((await sweepReminders(app)).mails).toBe(0)
    app.clock.advance(-1)
    expect((await sweepReminders(app)).mails).toBe(1)
  })
})
