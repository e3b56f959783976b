import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person, Program } from '../../support/actors.ts'
import { on, wallOf } from '../../support/closings.ts'
import { aPropertyRow, insertRow, type Row } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let app: Program
let office: Person
let home: Row
let jo: Person

// Monday 2 March 2026, eight o'clock in Duluth; the office works Monday to Friday from eight to five.
beforeAll(async () => {
  service = await buildTestApp({ at: on('2026-03-02 08:00') })
  app = await service.as.app()
  office = await service.as.office()
  home = await aPropertyRow(service.db.pool)
  jo = await service.as.crew()
})
afterAll(() => service.close())

const friday = new Date(on('2026-03-06 10:00')).toISOString()
const asked = (over: Record<string, string> = {}, of: Row = home) => {
  const query = { asks: 'fix-and-result', method: 'continuous-monitor', deadline: friday, ...over }
  return app.get(`/v1/properties/${of.id}/closing?${new URLSearchParams(query)}`)
}
const pageOf = (over: Record<string, string> = {}, of: Row = home) => {
  const query = { asks: 'fix-and-result', method: 'continuous-monitor', by: '2026-03-06', 'by-time': '10:00', ...over }
  return office.get(`/homes/${of.id}/closing?${new URLSearchParams(query)}`)
}
const windowsOf = async (over: Record<string, string> = {}, of: Row = home) => {
  const { body } = await asked(over, of)
  return Object.fromEntries(
    Object.entries(body.windows as Record<string, { earliest: string; latest: string } | null>).map(
      ([name, window]) => [
        name,
        window && `${wallOf(Date.parse(window.earliest))} to ${wallOf(Date.parse(window.latest))}`,
      ],
    ),
  )
}
const hidden = (text: string, name: string) => new RegExp(`name="${name}" value="([^"]*)"`).exec(text)?.[1] ?? ''
const visitsOf = async (of: Row) =>
  (
    await service.db.pool.query(
      `select v.purpose, v.starts_at, v.ends_at, v.instructions, w.staff_id from visit v left join visit_crew w on w.visit_id = v.id
       where v.property_id = $1 order by v.starts_at`,
      [of.id],
    )
  ).rows

describe('the closing question is refused', () => {
  it('to crews on the page, and to apps without the scope for visits', async () => {
    expect((await jo.get(`/homes/${home.id}/closing`)).status).toBe(403)
    const other = await service.as.app({ scopes: ['properties:read'] })
    expect((await other.get(`/v1/properties/${home.id}/closing?asks=result`)).status).toBe(403)
  })

  it.each([
    ['a deadline more than a year away', { deadline: '2027-04-01T10:00:00Z' }],
    ['a deadline that has passed', { deadline: '2026-02-20T10:00:00Z' }],
    ['what nobody asks', { asks: 'sell' }],
    ['a method that is none', { method: 'a-canary' }],
  ])('with %s', async (_, over) => {
    const answer = await asked(over)
    expect([answer.status >= 400, answer.status < 500]).toEqual([true, true])
  })

  it('without a day, and the form comes back with what was typed', async () => {
    const answer = await pageOf({ by: '', 'by-time': '' })
    expect([answer.status, answer.text.includes('Write the day and the time')]).toEqual([422, true])
    const far = await pageOf({ by: '2028-01-01' })
    expect([
      far.status,
      far.text.includes('is more than a year away'),
      far.text.includes('value="2028-01-01"'),
    ]).toEqual([422, true, true])
    const past = await pageOf({ by: '2026-02-20' })
    expect([past.status, past.text.includes('This has passed already: give a time to come')]).toEqual([422, true])
    const noTime = await pageOf({ 'by-time': 'ten' })
    expect([
      noTime.status,
      noTime.text.includes('This is no time of day'),
      noTime.text.includes('Write the day and the time'),
    ]).toEqual([422, true, false])
  })
})

describe('the closing question', () => {
  it('is answered from the company’s hours and its durations, which change the answer', async () => {
    expect(await windowsOf()).toMatchObject({
      install: 'Mon 2026-03-02 08:00 to Mon 2026-03-02 11:00',
      set: 'Tue 2026-03-03 14:00 to Wed 2026-03-04 08:30',
      report: 'Thu 2026-03-05 15:30 to Fri 2026-03-06 10:00',
    })
    await service.db.pool.query('update company set install_minutes = 480')
    expect((await windowsOf()).fanStart).toBe('Mon 2026-03-02 16:00 to Mon 2026-03-02 17:00')
    await service.db.pool.query('update company set install_minutes = 360')
  })

  it('counts what is planned for the crew: its end where one is said, else how long such a visit takes', async () => {
    const elsewhere = await aPropertyRow(service.db.pool, { street: '2 Birch Street' })
    const planned = await app.post(`/v1/properties/${elsewhere.id}/visits`, {
      purpose: 'gauge-check',
      startsAt: new Date(on('2026-03-02 08:00')).toISOString(),
      crew: [jo.id],
    })
    // An hour, by the company's figure for other visits.
    expect((await windowsOf()).install).toBe('Mon 2026-03-02 09:00 to Mon 2026-03-02 11:00')
    const reported = await app.agent
      .post(`/v1/visits/${planned.body.id}/void`)
      .set('if-match', '"1"')
      .send({ reason: 'Entered wrongly' })
    expect(reported.status).toBe(200)
    expect((await windowsOf()).install).toBe('Mon 2026-03-02 08:00 to Mon 2026-03-02 11:00')
  })

  it('lists the monitors that are free and in calibration to the end: not one that is out, nor one that is not', async () => {
    const monitor = async (serial: string, validUntil?: string) =>
      (
        await app.post('/v1/devices', {
          ...{ kind: 'monitor', method: 'continuous-monitor', serial },
          ...(validUntil ? { calibrations: [{ calibratedOn: '2025-03-10', validUntil }] } : {}),
        })
      ).body.id as string
    const names = async () => (await asked()).body.devices.map(({ name }: { name: string }) => name)
    await monitor('FREE', '2026-09-01')
    await monitor('LAST-DAY', '2026-03-05')
    await monitor('DAY-BEFORE', '2026-03-04')
    await monitor('NEVER')
    const out = await monitor('OUT', '2026-09-01')
    const room = await aPropertyRow(service.db.pool, { street: '3 Cedar Street' })
    const test = await app.post(`/v1/properties/${room.id}/tests`, {
      ...{ purpose: 'retest', method: 'continuous-monitor', setAt: '2026-03-01T12:00:00Z' },
      exposures: [{ deviceId: out }],
    })
    expect(test.status).toBe(201)
    expect(await names()).toEqual(['FREE', 'LAST-DAY'])
    const visitsOnly = await service.as.app({ scopes: ['visits:read'] })
    const query = new URLSearchParams({ asks: 'result', deadline: friday })
    expect((await visitsOnly.get(`/v1/properties/${home.id}/closing?${query}`)).body.devices).toBeNull()
    expect((await asked()).body.notes.join(' ')).not.toContain('No device of this method is on record')
  })

  it('counts no monitor that is booked or away meanwhile, and takes each until the day before it is', async () => {
    const other = await aPropertyRow(service.db.pool, { street: '6 Gean Street' })
    const free = async () =>
      (await asked()).body.devices.map(
        ({ name, goodUntil }: { name: string; goodUntil: string }) => `${name} ${goodUntil}`,
      )
    const { rows } = await service.db.pool.query(`select id, serial from device where serial in ('FREE', 'LAST-DAY')`)
    const idOf = (serial: string): string => rows.find(row => row.serial === serial).id
    const stamps = { created_at: new Date(), id: '01890000-0000-7000-8000-0000000000b1' }
    const booking = { ...stamps, device_id: idOf('FREE'), property_id: other.id }
    await insertRow(service.db.pool, 'device_booking', {
      ...booking,
      ...{ from_at: new Date(on('2026-03-06 08:00')), until_at: new Date(on('2026-03-09 08:00')) },
    })
    expect(await free()).toEqual(['FREE 2026-03-05', 'LAST-DAY 2026-03-05'])
    await service.db.pool.query(`update device_booking set from_at = $1`, [new Date(on('2026-03-02 07:00'))])
    expect(await free()).toEqual(['LAST-DAY 2026-03-05'])
    const absence = { ...stamps, device_id: idOf('LAST-DAY'), kind: 'calibration', from_on: '2026-03-02' }
    await insertRow(service.db.pool, 'device_absence', absence)
    const { body } = await asked()
    expect([body.verdict, body.binds[0].text]).toEqual([
      'infeasible',
      'no device is free and in calibration for so long',
    ])
    await service.db.pool.query(`delete from device_booking; delete from device_absence`)
  })

  it('of a post-mitigation test takes its day from the rule and the fan start on record', async () => {
    const mitigated = await aPropertyRow(service.db.pool, { street: '4 Elm Street' })
    const made = await app.post(`/v1/properties/${mitigated.id}/systems`, {
      ...{ type: 'sub-slab-suction', installedBy: 'us', tag: 'ELM-1' },
      events: [{ kind: 'first-start', when: { at: new Date(on('2026-02-10 15:00')).toISOString() } }],
    })
    expect(made.status).toBe(201)
    const { body } = await app.get(`/v1/properties/${mitigated.id}/closing?asks=post-mitigation-test`)
    expect(wallOf(Date.parse(body.deadline))).toBe('Thu 2026-03-12 23:59')
    expect(wallOf(Date.parse(body.windows.pickUp.latest))).toBe('Thu 2026-03-12 16:30')
    expect(body.sentence).toContain('The device can be set from')
  })

  it('is read out in the words of the home’s clock, with the caution and the company’s own words', async () => {
    await service.db.pool.query(`update company set caution_added = 'Call before you drive.'`)
    const { sentence } = (await asked()).body
    expect(sentence).toContain('Yes: the result can be in hand by Thu 5 March, 15:30, in time for Fri 6 March, 10:00.')
    expect(sentence).toContain('The work has to begin by Mon 2 March, 11:00 at the latest.')
    expect(sentence).toContain('What the result will be, nobody can say beforehand.')
    expect(sentence).toMatch(/Caution\. .*professional come first\..* Call before you drive\.$/)
    await service.db.pool.query(`update company set caution_added = ''`)
  })
})

describe('the plan that was shown', () => {
  it('becomes its three visits at a press, each with who is free and what to see to; pressed twice, three', async () => {
    const { text } = await pageOf()
    expect(text).toContain('Yes, with 3 h to spare')
    const form = Object.fromEntries(['asks', 'method', 'deadline', 'seen'].map(name => [name, hidden(text, name)]))
    const key = { _key: hidden(text, '_key') }
    for (let pressed = 0; pressed < 2; pressed++) {
      const answer = await office.submit(`/homes/${home.id}/closing`, { ...form, ...key })
      expect([answer.status, answer.headers.location]).toEqual([303, `/homes/${home.id}`])
    }
    const visits = await visitsOf(home)
    expect(visits.map(({ purpose, starts_at, staff_id }) => [purpose, wallOf(Number(starts_at)), staff_id])).toEqual([
      ['installation', 'Mon 2026-03-02 08:00', jo.id],
      ['set-device', 'Tue 2026-03-03 13:30', jo.id],
      ['pick-up-device', 'Thu 2026-03-05 14:00', jo.id],
    ])
    expect(visits[0].instructions).toContain('Ask that windows and outside doors be closed')
  })

  it('is not made when it is no longer the plan: the new one is shown, and nothing is planned', async () => {
    const other = await aPropertyRow(service.db.pool, { street: '5 Fir Street' })
    // Jo installs at the first home on Monday: here the work can begin on Tuesday only, which is too late for Friday.
    const monday = await pageOf({}, other)
    expect(monday.text).toContain('No, not by then')
    const { text } = await pageOf({ by: '2026-03-10' }, other)
    const form = Object.fromEntries(['asks', 'method', 'deadline', 'seen'].map(name => [name, hidden(text, name)]))
    const moved = { ...form, seen: form.seen!.replace('installation', 'installation 1') }
    const answer = await office.submit(`/homes/${other.id}/closing`, moved)
    expect([answer.status, answer.text.includes('has changed the plan; nothing was planned')]).toEqual([409, true])
    expect(await visitsOf(other)).toEqual([])
  })
})
