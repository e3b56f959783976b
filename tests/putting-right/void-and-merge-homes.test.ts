import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { restandHomes } from '../../src/standing/restand.ts'
import type { Program } from '../support/actors.ts'
import { factsOf, putRightAsShown, standingsOf, undone } from '../support/putting-right.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { aWholeHome, day3, type Home } from '../support/world.ts'

let service: TestApp
let app: Program
let home: Home
let other: Home
beforeAll(async () => {
  service = await buildTestApp()
  app = await service.as.app()
  home = await aWholeHome(app, 'Alder')
  other = await aWholeHome(app, 'Birch')
})
afterAll(() => service.close())

const reason = 'It was never so'
const voidOf = (noun: string, id: string) => ({ kind: 'void', noun, id, reason })

describe('voiding', () => {
  it.each(['test', 'system', 'visit', 'callback', 'home_event', 'kit', 'booking', 'note'] as const)(
    'a %s counts no more, and restored everything is as it was',
    async noun => {
      const id = { ...home, home_event: home.event }[noun]
      const before = { stand: await standingsOf(service, [home.property]), facts: await factsOf(service) }
      const correction = await putRightAsShown(app, voidOf(noun, id))
      await standingsOf(service, [home.property])
      const again = await app.post('/v1/corrections', voidOf(noun, id))
      expect(again.body.type).toContain('voided-already')
      expect((await undone(app, correction)).status).toBe(200)
      expect(await standingsOf(service, [home.property])).toEqual(before.stand)
      expect(await factsOf(service)).toEqual(before.facts)
    },
  )

  it('the wrong home goes with all that hangs on it, is found no more and owes nothing; restored it is as it was', async () => {
    const before = { stand: await standingsOf(service, [home.property]), facts: await factsOf(service) }
    const correction = await putRightAsShown(app, voidOf('property', home.property))
    expect(correction.homes[0]).toMatchObject({ before: { voided: false }, after: { voided: true, owed: [] } })
    expect(correction.told).toEqual(expect.arrayContaining(['With it: 1 test.', 'With it: 2 systems.']))
    expect((await app.get('/v1/search?q=Alder')).body.items).toEqual([])
    const test = await app.get(`/v1/tests/${home.test}`)
    expect(test.body).toMatchObject({ voidReason: reason })
    expect((await undone(app, correction)).status).toBe(200)
    expect(await standingsOf(service, [home.property])).toEqual(before.stand)
    expect(await factsOf(service)).toEqual(before.facts)
    expect((await app.get('/v1/search?q=Alder')).body.items).toHaveLength(1)
  })

  it('does not take back into use what was voided by itself before', async () => {
    const alone = await putRightAsShown(app, voidOf('visit', home.visit))
    const whole = await putRightAsShown(app, voidOf('property', home.property))
    expect((await undone(app, alone)).status).toBe(200)
    expect((await undone(app, whole)).status).toBe(200)
  })

  it('is not undone while the monitor it was booked with is promised to somebody else by now', async () => {
    const correction = await putRightAsShown(app, voidOf('booking', home.booking))
    const taken = await app.post(`/v1/properties/${other.property}/bookings`, {
      deviceId: home.device,
      from: '2026-04-06T15:00:00Z',
      until: '2026-04-07T15:00:00Z',
    })
    expect(taken.status, taken.text).toBe(201)
    const refused = await undone(app, correction)
    expect(refused.status).toBe(409)
    expect(refused.body.errors[0].detail).toContain('promised to another home')
    await putRightAsShown(app, voidOf('booking', taken.body.id))
    expect((await undone(app, correction)).status).toBe(200)
  })
})

describe('two entries of one home', () => {
  it('take along the rows of every table that names a home, but for those that are reckoned, traces or the house itself', async () => {
    const { rows } = await service.db.pool.query(
      `select table_name as name from information_schema.columns c join information_schema.tables t using (table_schema, table_name)
        where table_schema = 'public' and column_name = 'property_id' and table_type = 'BASE TABLE'`,
    )
    const taken = ['test', 'system', 'visit', 'callback', 'kit', 'device_booking', 'work_party', 'note', 'outreach']
    const placed = ['home_event', 'test_location', 'foundation_area', 'ownership', 'property_person']
    const sent = ['homeowner_link', 'homeowner_report', 'import_batch']
    const reckoned = ['standing', 'obligation', 'search_home', 'search_phrase']
    const traces = ['audit', 'change', 'fact_revision', 'import_made', 'policy_trial_home']
    // Whom the house is shown to is asked anew of the home that stays; whether its mails wait is read through the merge.
    const ofTheEntry = ['app_grant', 'reminder_hold']
    const known = [...taken, ...placed, ...sent, ...reckoned, ...traces, ...ofTheEntry]
    expect(rows.map(({ name }) => name).sort()).toEqual(known.sort())
  })

  it('become one: everything goes to the one that stays, nobody stands there twice, and undone both are as they were', async () => {
    await app.post(`/v1/properties/${other.property}/people`, { customerId: home.customer, role: 'occupant' })
    await app.post(`/v1/properties/${other.property}/test-locations`, { name: 'alder FAMILY room', floor: -1 })
    for (const [id, gateCode] of [
      [home.property, '4711'],
      [other.property, ''],
    ] as const) {
      const { version } = (await app.get(`/v1/properties/${id}`)).body
      const said = { ...(gateCode && { gateCode }), dogNote: 'barks', reason: 'told by the owner' }
      expect((await app.patch(`/v1/properties/${id}`, said, version)).status).toBe(200)
    }
    const homes = [home.property, other.property]
    const before = { stand: await standingsOf(service, homes), facts: await factsOf(service) }
    const merge = { kind: 'merge-homes', id: home.property, intoId: other.property, reason: 'Taken up twice' }
    const correction = await putRightAsShown(app, merge)
    await standingsOf(service, homes)

    const emptied = await app.get(`/v1/properties/${home.property}`)
    expect(emptied.body).toMatchObject({ mergedIntoId: other.property, voidReason: 'Taken up twice' })
    const kept = await app.get(`/v1/properties/${other.property}`)
    const rooms = kept.body.testLocations.map((room: { name: string }) => room.name.toLowerCase())
    expect(rooms).toEqual(['birch family room', 'alder family room'])
    const tests = await app.get(`/v1/tests?propertyId=${other.property}`)
    expect(tests.body.items.map((test: { id: string }) => test.id).sort()).toEqual([home.test, other.test].sort())
    expect((await app.get(`/v1/systems?propertyId=${home.property}`)).body.items).toEqual([])
    const calls = await app.get(`/v1/outreach?propertyId=${other.property}`)
    expect(calls.body.items.map((call: { id: string }) => call.id)).toContain(home.outreach)
    const people = await app.get(`/v1/properties/${other.property}/people`)
    const occupants = people.body.items.filter((one: { customerId: string }) => one.customerId === home.customer)
    expect(occupants).toHaveLength(1)
    // Both named an owner for the same days: the kept home's stands.
    const owners = await app.get(`/v1/properties/${other.property}/ownership`)
    expect(owners.body.items.map((one: { customerId: string }) => one.customerId)).toEqual([other.customer])
    expect(correction.told).toContain('An owner stays behind: the home that stays names another for the same days.')
    // Named, so that nobody stands at a gate whose code only the emptied entry has; not quoted.
    expect(correction.told).toContain(
      'Only the entry that is emptied says this, copy it by hand if it holds: code of the gate.',
    )

    expect((await undone(app, correction, 'They are two')).status).toBe(200)
    expect(await standingsOf(service, homes)).toEqual(before.stand)
    expect(await factsOf(service)).toEqual(before.facts)
  })

  it('keep their reminders waiting while those of the emptied entry wait, and remind once its import is released', async () => {
    const { pool } = service.db
    await pool.query(
      'insert into reminder_hold (property_id, import_id, since) select $1, id, now() from import_batch limit 1',
      [home.property],
    )
    const merge = { kind: 'merge-homes', id: home.property, intoId: other.property, reason: 'Taken up twice' }
    const correction = await putRightAsShown(app, merge)
    expect(correction.told).toContain(
      'Reminders of the home that stays wait from now on, until the import of the emptied entry is released.',
    )
    const now = new Date(service.clock.now())
    await pool.query(
      `update obligation set next_remind_at = $2, remind_at = array[$2::timestamptz], fulfilled_at = null, owed_by = 'homeowner'
        where property_id = $1`,
      [other.property, now],
    )
    const noticed = async () =>
      (
        await pool.query(
          'select count(*)::int as n from notice n join obligation o on o.id = n.obligation_id where o.property_id = $1',
          [other.property],
        )
      ).rows[0].n
    const before = await noticed()
    await service.runJobs()
    expect(await noticed()).toBe(before)

    await pool.query('delete from reminder_hold where property_id = $1', [home.property])
    await service.runJobs()
    expect(await noticed()).toBeGreaterThan(before)
    await service.db.transaction(tx => restandHomes(tx, { now: service.clock.now() }, [other.property]))
    expect((await undone(app, correction)).status).toBe(200)
  })

  it('are not parted again once something was done with what came along', async () => {
    const merge = { kind: 'merge-homes', id: home.property, intoId: other.property, reason: 'Taken up twice' }
    const correction = await putRightAsShown(app, merge)
    const sent = await app.post(`/v1/properties/${other.property}/tests`, {
      ...{ purpose: 'retest', method: 'alpha-track', setAt: day3, systemId: home.system },
      exposures: [{ locationId: other.location }],
    })
    expect(sent.status, sent.text).toBe(201)
    const refused = await undone(app, correction)
    expect(refused.status).toBe(409)
    expect(refused.body.errors.map((line: { detail: string }) => line.detail)).toEqual([
      'A test names the system Alder-1 since.',
    ])
    await putRightAsShown(app, voidOf('test', sent.body.test.id))
    expect((await undone(app, correction)).status).toBe(200)
  })

  it('merges no home with itself, and none that is voided', async () => {
    const same = { kind: 'merge-homes', id: home.property, intoId: home.property, reason }
    expect((await app.post('/v1/corrections', same)).status).toBe(422)
    const away = await putRightAsShown(app, voidOf('property', home.property))
    const gone = { ...same, intoId: other.property }
    expect((await app.post('/v1/corrections', gone)).status).toBe(404)
    expect((await undone(app, away)).status).toBe(200)
  })
})
