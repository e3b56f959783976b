import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { sweepReminders } from '../../src/features/reminders/sweep.ts'
import type { Act } from '../../src/platform/db/record-write.ts'
import { foreseen, putRight, undo } from '../../src/putting-right/put-right.ts'
import type { Program } from '../support/actors.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'

let service: TestApp
let app: Program
let act: Act
beforeAll(async () => {
  service = await buildTestApp({ at: '2026-03-02T15:00:00Z' })
  app = await service.as.app()
})
beforeEach(() => {
  service.clock.set('2026-03-02T15:00:00Z')
  act = { actor: { kind: 'operator', id: null }, now: service.clock.now(), requestId: 'rig' }
})
afterAll(() => service.close())

type Entry = { readonly id: string }
const make = async (path: string, body: object) => {
  const answer = await app.post(path, body)
  expect(answer.status, answer.text).toBe(201)
  return answer.body
}
const aPerson = (over: object): Promise<Entry> => make('/v1/customers', { name: 'Ann Holm', ...over })
let doors = 100
const aHome = (owner: Entry, over: object = {}) =>
  make('/v1/properties', {
    ...{ street: `${++doors} Alder Street`, city: 'Duluth', region: 'MN', postcode: '55803', country: 'US' },
    ...{ ownerId: owner.id, testLocations: [{ name: 'Basement', floor: -1, livedIn: true }] },
    ...over,
  })
const merging = (doubled: Entry, kept: Entry, over: object = {}) =>
  ({ kind: 'merge-customers', id: doubled.id, intoId: kept.id, reason: 'entered twice', ...over }) as const
const merge = (doubled: Entry, kept: Entry, over: object = {}) =>
  service.db.transaction(tx => putRight(tx, act, merging(doubled, kept, over)))
const unmerge = (correctionId: string) =>
  service.db.transaction(tx => undo(tx, act, correctionId, 'two people after all'))

const ownedBy = async (home: Entry) =>
  (await app.get(`/v1/properties/${home.id}/ownership`)).body.items.map(
    (one: { customerId: string; fromOn: string | null; untilOn: string | null }) => [
      one.customerId,
      one.fromOn,
      one.untilOn,
    ],
  )
/** Every row that names one of these people, as the database holds it, without the counts of its changes. */
const everythingOf = async (...people: readonly Entry[]) => {
  const held: Record<string, unknown> = {}
  for (const [table, column] of [
    ...[
      ['customer', 'id'],
      ['ownership', 'customer_id'],
      ['property_person', 'customer_id'],
      ['work_party', 'customer_id'],
    ],
    ...[
      ['kit', 'customer_id'],
      ['callback', 'reported_by_customer'],
      ['homeowner_link', 'customer_id'],
    ],
    ...[
      ['homeowner_report', 'customer_id'],
      ['mail', 'customer_id'],
      ['notice', 'customer_id'],
    ],
  ]) {
    const { rows } = await service.db.pool.query(
      `select to_jsonb(t) - 'version' - 'updated_at' as row from ${table} t where ${column} = any($1::uuid[]) order by id`,
      [people.map(({ id }) => id)],
    )
    held[table!] = rows.map(({ row }) => row)
  }
  return held
}
const standingsOf = async (...homes: readonly Entry[]) =>
  (
    await service.db.pool.query('select body from standing where property_id = any($1::uuid[]) order by property_id', [
      homes.map(({ id }) => id),
    ])
  ).rows

const ordered = (home: { id: string; testLocations: readonly Entry[] }, customer: Entry, over: object) =>
  make(`/v1/properties/${home.id}/work-parties`, { subject: 'test', customerId: customer.id, ...over })
const aTest = async (home: { id: string; testLocations: readonly Entry[] }, value: string) =>
  (
    await make(`/v1/properties/${home.id}/tests`, {
      ...{
        purpose: 'pre-mitigation',
        method: 'activated-charcoal',
        setAt: '2026-01-10T15:00:00Z',
        pickedUpAt: '2026-01-13T15:00:00Z',
      },
      ...{ closedSince: '2026-01-09T15:00:00Z', closedDuring: 'yes', resultInAt: '2026-01-20T15:00:00Z' },
      exposures: [
        {
          ...{ locationId: home.testLocations[0]!.id, startAt: '2026-01-10T15:00:00Z', stopAt: '2026-01-13T15:00:00Z' },
          result: { value, unit: 'pCi/L' },
        },
      ],
    })
  ).test

describe('a customer entered twice', () => {
  it('becomes one with all that hangs on either, as was foreseen, and undone is two again to the byte', async () => {
    const kept = await aPerson({ email: 'ann@home.example' })
    const doubled = await aPerson({ name: 'Anne Holm', phone: '(218) 555-0177', note: 'Dog' })
    const [hers, also] = [await aHome(kept), await aHome(doubled)]
    await make(`/v1/properties/${hers.id}/people`, { customerId: doubled.id, role: 'tenant' })
    const test = await aTest(also, '6.1')
    await ordered(also, doubled, { subjectId: test.id, part: 'may-see', lastOn: '2026-03-31' })
    await ordered(also, kept, { subjectId: test.id, part: 'may-see', lastOn: '2026-04-30' })
    const lot = await make('/v1/devices', { kind: 'kit-lot', method: 'activated-charcoal', lot: 'L-1' })
    await make(`/v1/properties/${also.id}/kits`, {
      ...{ deviceId: lot.id, number: 'K-1', purpose: 'retest', leftOn: '2026-02-24', customerId: doubled.id },
    })
    const callback = await make(`/v1/properties/${also.id}/callbacks`, {
      complaint: 'noise',
      reportedByCustomer: doubled.id,
    })
    const before = [await everythingOf(kept, doubled), await standingsOf(hers, also)]

    const shown = await foreseen(service.db, act, merging(doubled, kept))
    expect([await everythingOf(kept, doubled), await standingsOf(hers, also)]).toEqual(before)
    const { correction, tag } = await merge(doubled, kept, { tag: shown.tag })
    expect(tag).toBe(shown.tag)
    expect(correction.told).toEqual(shown.correction.told)

    expect((await app.get(`/v1/customers/${kept.id}`)).body).toMatchObject({
      ...{ name: 'Ann Holm', email: 'ann@home.example', phone: '+12185550177', note: 'Dog', voidedAt: null },
    })
    expect((await app.get(`/v1/customers/${doubled.id}`)).body).toMatchObject({
      ...{ name: 'Anne Holm', mergedIntoId: kept.id, voidReason: 'entered twice' },
    })
    expect(await ownedBy(also)).toEqual([[kept.id, null, null]])
    const parties = (await app.get(`/v1/properties/${also.id}/work-parties`)).body.items
    expect(parties).toMatchObject([{ customerId: kept.id, part: 'may-see', lastOn: '2026-04-30' }])
    expect((await app.get(`/v1/callbacks/${callback.id}`)).body.reportedByCustomer).toBe(kept.id)
    const left = await everythingOf(doubled)
    expect(Object.keys(left).filter(table => (left[table] as []).length > 0)).toEqual(['customer'])

    await unmerge(correction.id)
    expect([await everythingOf(kept, doubled), await standingsOf(hers, also)]).toEqual(before)
  })

  it('owned one home under both names: it is one ownership then, and two again after the undo', async () => {
    const [doubled, kept] = [await aPerson({}), await aPerson({})]
    const home = await aHome(doubled, { ownerSince: '2001-03-01' })
    await make(`/v1/properties/${home.id}/ownership`, { customerId: kept.id, onDay: '2020-05-01', because: 'unknown' })
    const before = await ownedBy(home)
    const { correction } = await merge(doubled, kept)
    expect(await ownedBy(home)).toEqual([[kept.id, '2001-03-01', null]])
    await unmerge(correction.id)
    expect(await ownedBy(home)).toEqual(before)
  })

  it.each(['ann.former@home.example', '+12185550188', 'Annegret Holmberg'])(
    'is found by what she was called before: %s',
    async former => {
      const kept = await aPerson({ name: 'Ann Holm', email: 'ann.now@home.example', phone: '(218) 555-0142' })
      const doubled = await aPerson({
        name: 'Annegret Holmberg',
        email: 'ann.former@home.example',
        phone: '(218) 555-0188',
      })
      const home = await aHome(doubled)
      const found = async () =>
        (await app.get(`/v1/search?q=${encodeURIComponent(former)}`)).body.items.map(
          (hit: { propertyId: string }) => hit.propertyId,
        )
      const { correction } = await merge(doubled, kept)
      expect(await found()).toContain(home.id)
      const names = (await app.get('/v1/customers?name=annegret')).body.items
      expect(names.map((one: Entry) => one.id)).toContain(kept.id)
      await unmerge(correction.id)
      expect(await found()).toContain(home.id)
      expect((await app.get('/v1/customers?name=annegret')).body.items.map((one: Entry) => one.id)).not.toContain(
        kept.id,
      )
    },
  )

  it('was merged with a third: the first merge is undone only after the second', async () => {
    const [first, second, third] = [await aPerson({ name: 'Anna Former' }), await aPerson({}), await aPerson({})]
    const one = await merge(first, second)
    const two = await merge(second, third)
    expect((await app.get(`/v1/customers/${first.id}`)).body.mergedIntoId).toBe(third.id)
    expect((await app.get('/v1/customers?name=anna former')).body.items).toMatchObject([{ id: third.id }])
    await expect(unmerge(one.correction.id)).rejects.toMatchObject({
      code: 'hangs-on-it',
      errors: expect.arrayContaining([
        expect.objectContaining({ detail: 'They were merged with yet another entry since: undo that first.' }),
      ]),
    })
    await unmerge(two.correction.id)
    await unmerge(one.correction.id)
    expect((await app.get(`/v1/customers/${first.id}`)).body).toMatchObject({ mergedIntoId: null, voidedAt: null })
  })

  it('is refused where it is one entry, one that is gone, or changed since it was shown', async () => {
    const [doubled, kept, gone] = [await aPerson({}), await aPerson({}), await aPerson({})]
    await app.agent.post(`/v1/customers/${gone.id}/void`).set('if-match', '"1"').send({ reason: 'x' })
    await expect(merge(kept, kept)).rejects.toMatchObject({ status: 422, code: 'same-person' })
    await expect(merge(gone, kept)).rejects.toMatchObject({ status: 404 })
    const { tag } = await foreseen(service.db, act, merging(doubled, kept))
    await app.patch(`/v1/customers/${kept.id}`, { note: 'moved', reason: 'told us' }, 1)
    await expect(merge(doubled, kept, { tag })).rejects.toMatchObject({ status: 409, code: 'not-as-shown' })
  })

  it('is merged once by two at once, whichever way round', async () => {
    const [one, other] = [await aPerson({}), await aPerson({})]
    await aHome(one)
    await aHome(other)
    const ended = await Promise.allSettled([merge(one, other), merge(other, one), merge(one, other)])
    expect(ended.filter(({ status }) => status === 'fulfilled')).toHaveLength(1)
    const { rows } = await service.db.pool.query('select id from customer where id = any($1) and voided_at is null', [
      [one.id, other.id],
    ])
    expect(rows).toHaveLength(1)
  })
})

describe('somebody who gets a home while they are merged', () => {
  it('owns it under the entry that stays, or the merge is to be looked at again', async () => {
    for (const _ of [1, 2, 3, 4]) {
      const [doubled, kept, before] = [await aPerson({}), await aPerson({}), await aPerson({})]
      const home = await aHome(before, { ownerSince: '2001-03-01' })
      const sale = { customerId: doubled.id, onDay: '2020-05-01', because: 'unknown' }
      const [merged, sold] = await Promise.allSettled([
        merge(doubled, kept),
        app.post(`/v1/properties/${home.id}/ownership`, sale),
      ])
      const status = sold.status === 'fulfilled' ? sold.value.status : 0
      expect([201, 422]).toContain(status)
      const [owner] = (await ownedBy(home)).map(([customerId]: [string]) => customerId)
      if (merged.status === 'fulfilled') expect(owner).toBe(status === 201 ? kept.id : before.id)
      else expect([merged.reason.code, owner]).toEqual(['not-as-shown', doubled.id])
    }
  })
})

describe('reminders of a customer entered twice', () => {
  const remindable = async (email: string) => {
    const person = await aPerson({ name: `Owner ${email}`, email })
    const home = await aHome(person)
    await aTest(home, '6.1')
    return { person, home }
  }
  /** The first instant, inside the hours of sending, by which something is due at each of these homes. */
  const toTheReminder = async (...homes: readonly Entry[]) => {
    const { rows } = await service.db.pool.query(
      `select max(first) as at from (select min(next_remind_at) as first from obligation
        where property_id = any($1::uuid[]) and owed_by = 'homeowner' group by property_id) f`,
      [homes.map(({ id }) => id)],
    )
    const day = new Date(Math.max(rows[0].at, service.clock.now())).toISOString().slice(0, 10)
    service.clock.set(new Date(Date.parse(`${day}T16:00:00Z`) + 86_400_000).toISOString())
    act = { ...act, now: service.clock.now() }
    await service.db.pool.query('update company set reminders_released_at = now(), daily_mail_cap = 100')
    await service.db.pool.query(
      `delete from obligation where owed_by = 'homeowner' and not property_id = any($1::uuid[])
      and not exists (select from notice n where n.obligation_id = obligation.id)`,
      [homes.map(({ id }) => id)],
    )
    service.mailbox.clear()
  }
  const sent = () => service.mailbox.ledger.filter(line => line.answered)
  const sentTo = () => sent().flatMap(line => line.to)

  it('that wait already go once, to the address that stays, and open the same home', async () => {
    const { person: doubled, home } = await remindable('wrong@home.example')
    const kept = await aPerson({ name: 'Ann Holm', email: 'right@home.example' })
    await toTheReminder(home)
    expect(await sweepReminders(service)).toMatchObject({ mails: 1 })
    await merge(doubled, kept)
    await service.runJobs()
    await sweepReminders(service)
    await service.runJobs()
    expect(sentTo()).toEqual(['right@home.example'])
    const { rows } = await service.db.pool.query(
      `select m.customer_id, l.customer_id as link, l.property_id as home, l.revoked_at from mail m
         join homeowner_link l on l.property_id = $1 and l.created_at = m.created_at`,
      [home.id],
    )
    expect(rows).toEqual([{ customer_id: kept.id, link: kept.id, home: home.id, revoked_at: null }])
  })

  it('whose link was mailed after the merge opens no home of somebody else once that is undone', async () => {
    const { person: doubled, home } = await remindable('theirs@home.example')
    const kept = await aPerson({ name: 'Ben Other', email: 'ben@home.example' })
    const { correction } = await merge(doubled, kept)
    await toTheReminder(home)
    expect(await sweepReminders(service)).toMatchObject({ mails: 1 })
    await unmerge(correction.id)
    const { rows } = await service.db.pool.query(
      'select customer_id, revoked_at is null as open from homeowner_link where property_id = $1',
      [home.id],
    )
    expect(rows).toEqual([{ customer_id: kept.id, open: false }])
    await service.runJobs()
    expect(sentTo()).toEqual([])
  })

  it('of all their homes come in one mail afterwards', async () => {
    const [one, other] = [await remindable('one@home.example'), await remindable('other@home.example')]
    await merge(other.person, one.person)
    await toTheReminder(one.home, other.home)
    expect(await sweepReminders(service)).toMatchObject({ mails: 1 })
    await service.runJobs()
    expect(sentTo()).toEqual(['one@home.example'])
    expect(sent()[0]!.raw).toContain(other.home.street)
    expect(sent()[0]!.raw).toContain(one.home.street)
  })

  it('stay stopped where they were stopped under either name, those that wait too', async () => {
    const { person: doubled, home } = await remindable('waits@home.example')
    const kept = await aPerson({ name: 'Ann Holm', email: 'stopped@home.example' })
    await toTheReminder(home)
    expect(await sweepReminders(service)).toMatchObject({ mails: 1 })
    const later = await service.as.app()
    await later.patch(`/v1/customers/${kept.id}`, { mailsStopped: true, reason: 'asked' }, 1).expect(200)
    await merge(doubled, kept)
    await service.runJobs()
    expect(sentTo()).toEqual([])
  })
})
