import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import type { Program } from '../../support/actors.ts'
import { aMonitor } from '../../support/monitors.ts'
import { aLocationRow, aPropertyRow } from '../../support/rows.ts'
import { buildTestApp, type TestApp } from '../../support/test-app.ts'

let service: TestApp
let app: Program
let monitor: string
let home: string
let room: string
let other: string

beforeAll(async () => {
  service = await buildTestApp({ at: '2026-03-02T15:00:00Z' })
  app = await service.as.app()
})
afterAll(() => service.close())
beforeEach(async () => {
  monitor = await aMonitor(app)
  const [one, two] = [
    await aPropertyRow(service.db.pool, { street: '12 Kestrel Lane' }),
    await aPropertyRow(service.db.pool, { street: '3 Quarry Road' }),
  ]
  ;[home, other] = [one.id, two.id]
  room = (await aLocationRow(service.db.pool, one)).id
})

const set = (propertyId: string, more: object = {}, deviceId = monitor) =>
  app.post(`/v1/properties/${propertyId}/tests`, {
    purpose: 'pre-mitigation',
    method: 'continuous-monitor',
    setAt: '2026-03-02T14:00:00Z',
    exposures: [{ deviceId }],
    ...more,
  })
const book = (propertyId: string, from: string, until: string, deviceId = monitor) =>
  app.post(`/v1/properties/${propertyId}/bookings`, { deviceId, from, until })
const where = async () => (await app.get(`/v1/devices/${monitor}/whereabouts`)).body
const pickUp = (test: { id: string; version: number }) =>
  app.agent
    .post(`/v1/tests/${test.id}/pick-up`)
    .set('if-match', `"${test.version}"`)
    .send({ pickedUpAt: '2026-03-02T14:30:00Z' })
const away = (body: object) => app.post(`/v1/devices/${monitor}/absences`, body)

describe('where a monitor is', () => {
  it('is at the shop until it is set, at the home while its test goes on, and at the shop when it is picked up', async () => {
    expect(await where()).toMatchObject({ place: 'shop', propertyId: null, calibratedUntil: '2026-12-31' })
    const { test } = (await set(home, { exposures: [{ deviceId: monitor, locationId: room }] })).body
    expect(await where()).toMatchObject({
      place: 'home',
      propertyId: home,
      testId: test.id,
      since: '2026-03-02T14:00:00.000Z',
      pickUpAt: '2026-03-04T14:00:00.000Z',
      pickUpBecause: 'shortest-test',
      late: false,
    })
    expect((await pickUp(test)).status).toBe(200)
    expect(await where()).toMatchObject({ place: 'shop', testId: null })
  })

  it('is picked up when the visit for it is planned, and late from the day after', async () => {
    const planned = async (startsAt: string) => {
      monitor = await aMonitor(app)
      await set(home, { setAt: '2026-02-27T14:00:00Z' })
      const visit = await app.post(`/v1/properties/${home}/visits`, { purpose: 'pick-up-device', startsAt })
      const found = await where()
      await app.agent.post(`/v1/visits/${visit.body.id}/void`).set('if-match', '"1"').send({ reason: 'Next case' })
      return found
    }
    const today = { pickUpAt: '2026-03-02T13:00:00.000Z', pickUpBecause: 'visit', late: false }
    expect(await planned('2026-03-02T13:00:00Z')).toMatchObject(today)
    expect((await planned('2026-03-01T16:00:00Z')).late).toBe(true)
  })

  it('is not told by its address or test to an app that may not see the home', async () => {
    await set(home)
    const stranger = await service.as.app({ homes: [other] })
    const answer = (await stranger.get(`/v1/devices/${monitor}/whereabouts`)).body
    expect(answer).toMatchObject({ place: 'home', propertyId: null, testId: null })
  })

  it('is not asked of a lot of kits', async () => {
    const lot = await app.post('/v1/devices', { kind: 'kit-lot', method: 'alpha-track', lot: 'AT-1' })
    expect((await app.get(`/v1/devices/${lot.body.id}/whereabouts`)).status).toBe(404)
  })
})

const findingsOf = (answer: { body: { test: { evaluation: { findings: { code: string }[] } } } }) =>
  answer.body.test.evaluation.findings.filter(finding => finding.code === 'device-elsewhere')

describe('a test that is set', () => {
  const fault = (answer: { body: { errors: { pointer: string; code: string; detail: string }[] } }) =>
    answer.body.errors[0]

  it('is refused with a monitor that stands elsewhere: the error names the field, the home and what to do', async () => {
    const { test } = (await set(home)).body
    const answer = await set(other)
    expect(answer.status).toBe(422)
    expect(fault(answer)).toMatchObject({ pointer: '#/exposures/0/deviceId', code: 'device-elsewhere' })
    expect(fault(answer)?.detail).toMatch(/12 Kestrel Lane.* since 2026-03-02: say first when it was picked up there/)
    await pickUp(test)
    expect((await set(other, { setAt: '2026-03-02T14:45:00Z' })).status).toBe(201)
  })

  it('does not tell an app the address of a home that it may not see', async () => {
    await set(home)
    const stranger = await service.as.app({ homes: [other] })
    const answer = await stranger.post(`/v1/properties/${other}/tests`, {
      purpose: 'retest',
      method: 'continuous-monitor',
      setAt: '2026-03-02T14:00:00Z',
      exposures: [{ deviceId: monitor }],
    })
    expect(answer.status).toBe(422)
    expect(answer.text).toContain('another home')
    expect(answer.text).not.toContain('Kestrel')
  })

  it('is refused with one monitor for two places', async () => {
    const answer = await set(home, { exposures: [{ deviceId: monitor }, { deviceId: monitor }] })
    expect(fault(answer)).toMatchObject({ pointer: '#/exposures/1/deviceId', code: 'device-twice' })
  })

  it('is refused with one that is away, lost, booked for another home or retired', async () => {
    const absence = (await away({ kind: 'calibration', fromOn: '2026-03-01', expectedBackOn: '2026-03-20' })).body
    expect(fault(await set(home))).toMatchObject({ code: 'device-away' })
    const back = { backOn: '2026-03-02' }
    expect((await app.patch(`/v1/devices/${monitor}/absences/${absence.id}`, back, 1)).body.backOn).toBe('2026-03-02')
    await book(other, '2026-03-03T15:00:00Z', '2026-03-06T15:00:00Z')
    expect(fault(await set(home))).toMatchObject({ code: 'device-booked' })
    expect((await set(other)).status).toBe(201)
    const lost = await aMonitor(app)
    await app.post(`/v1/devices/${lost}/absences`, { kind: 'lost', fromOn: '2026-02-20' })
    expect(fault(await set(home, {}, lost))).toMatchObject({ code: 'device-lost' })
    const retired = await aMonitor(app)
    await app.patch(`/v1/devices/${retired}`, { retiredAt: '2026-02-01T12:00:00Z', reason: 'Dropped' }, 1)
    expect(fault(await set(home, {}, retired))).toMatchObject({ code: 'device-retired' })
  })

  it('is refused when the calibration ends before 48 hours are over, and taken when it ends on the last day', async () => {
    const short = await aMonitor(app, [{ calibratedOn: '2025-03-03', validUntil: '2026-03-03' }])
    expect(fault(await set(home, {}, short))).toMatchObject({ code: 'out-of-calibration' })
    const enough = await aMonitor(app, [{ calibratedOn: '2025-03-04', validUntil: '2026-03-04' }])
    expect((await set(home, {}, enough)).status).toBe(201)
  })

  it('is recorded against the records of where it is once somebody says that it really stood there', async () => {
    await set(home)
    const answer = await set(other, { confirmDevices: true, setAt: '2026-03-02T14:30:00Z' })
    expect(answer.status).toBe(201)
    expect(await where()).toMatchObject({ place: 'home', propertyId: other })
    const { id, version, exposures } = answer.body.test
    const results = [{ exposureId: exposures[0].id, result: { value: '2.2', unit: 'pCi/L' } }]
    const path = `/v1/tests/${id}/results`
    const send = app.agent.post(path).set('if-match', `"${version}"`)
    expect(findingsOf(await send.send({ resultInAt: '2026-03-02T14:50:00Z', results }))).toMatchObject([
      { effect: 'warns', found: 'by the records it stood in another test at that time' },
    ])
  })

  it('is recorded when it is over, wherever the monitor was said to be: a finding tells it', async () => {
    const result = { value: '2.2', unit: 'pCi/L' }
    const over = (setAt: string, pickedUpAt: string) =>
      set(other, { setAt, pickedUpAt, resultInAt: pickedUpAt, exposures: [{ deviceId: monitor, result }] })
    const first = await over('2026-02-20T14:00:00Z', '2026-02-23T14:00:00Z')
    expect(findingsOf(first)).toEqual([])
    const overlapping = await over('2026-02-23T13:59:59Z', '2026-02-25T14:00:00Z')
    expect(overlapping.status).toBe(201)
    expect(findingsOf(overlapping)).toMatchObject([{ effect: 'warns' }])
    expect(findingsOf(await over('2026-02-25T14:00:00Z', '2026-02-27T14:00:00Z'))).toEqual([])
    await away({ kind: 'lost', fromOn: '2026-02-28' })
    expect(findingsOf(await over('2026-02-27T14:00:00Z', '2026-03-01T14:00:00Z'))).toMatchObject([
      { found: 'by the records it was lost at that time' },
    ])
  })

  it('is set by one of two who set the same monitor at once', async () => {
    const answers = await Promise.all([set(home), set(other)])
    expect(answers.map(answer => answer.status).sort()).toEqual([201, 422])
  })
})

describe('a booking', () => {
  it('is refused for no monitor, for a time that is over or runs backwards', async () => {
    const errors = async (from: string, until: string, deviceId?: string) =>
      (await book(home, from, until, deviceId)).body.errors
    expect(await errors('2026-03-04T15:00:00Z', '2026-03-03T15:00:00Z')).toMatchObject([{ pointer: '#/until' }])
    expect(await errors('2026-02-04T15:00:00Z', '2026-02-06T15:00:00Z')).toMatchObject([{ code: 'in-the-past' }])
    expect(await errors('2026-03-04T15:00:00Z', '2026-03-06T15:00:00Z', home)).toMatchObject([
      { pointer: '#/deviceId' },
    ])
  })

  it('is the next one of its monitor until it is taken out with a reason', async () => {
    const booking = (await book(home, '2026-03-04T15:00:00Z', '2026-03-06T15:00:00Z')).body
    expect((await where()).nextBookingFrom).toBe('2026-03-04T15:00:00.000Z')
    const end = () => app.agent.post(`/v1/bookings/${booking.id}/void`).send({ reason: 'Put off' })
    expect((await end()).status).toBe(428)
    expect((await end().set('if-match', '"2"')).status).toBe(412)
    expect((await end().set('if-match', '"1"')).body).toMatchObject({ voidReason: 'Put off', version: 2 })
    expect((await where()).nextBookingFrom).toBeNull()
  })

  it('may begin when the one before ends, and not a moment sooner', async () => {
    await book(home, '2026-03-04T15:00:00Z', '2026-03-06T15:00:00Z')
    const answer = await book(other, '2026-03-06T14:59:59Z', '2026-03-08T15:00:00Z')
    expect(answer.body.errors).toMatchObject([{ pointer: '#/deviceId', code: 'device-booked' }])
    expect((await book(other, '2026-03-06T15:00:00Z', '2026-03-08T15:00:00Z')).status).toBe(201)
  })

  it('is made once of two at once for the same time', async () => {
    const times = ['2026-03-04T15:00:00Z', '2026-03-06T15:00:00Z'] as const
    const answers = await Promise.all([book(home, ...times), book(other, ...times), book(home, ...times)])
    expect(answers.map(answer => answer.status).sort()).toEqual([201, 422, 422])
  })

  it('waits for the end of a test that holds the monitor', async () => {
    await set(home)
    const early = await book(other, '2026-03-04T13:00:00Z', '2026-03-06T15:00:00Z')
    expect(early.body.errors).toMatchObject([{ code: 'device-elsewhere' }])
    expect((await book(other, '2026-03-04T14:00:00Z', '2026-03-06T15:00:00Z')).status).toBe(201)
  })

  it('frees its monitor when its test was picked up early', async () => {
    await book(home, '2026-03-02T12:00:00Z', '2026-03-09T15:00:00Z')
    const { test } = (await set(home)).body
    expect(await where()).toMatchObject({ pickUpAt: '2026-03-09T15:00:00.000Z', pickUpBecause: 'booking' })
    expect((await book(other, '2026-03-05T15:00:00Z', '2026-03-07T15:00:00Z')).status).toBe(422)
    await pickUp(test)
    expect((await book(other, '2026-03-05T15:00:00Z', '2026-03-07T15:00:00Z')).status).toBe(201)
  })

  it('cannot be made past the calibration, unless it is sent to be calibrated and back before', async () => {
    monitor = await aMonitor(app, [{ calibratedOn: '2025-03-20', validUntil: '2026-03-20' }])
    const times = ['2026-04-20T15:00:00Z', '2026-04-22T15:00:00Z'] as const
    expect((await book(home, ...times)).body.errors).toMatchObject([{ code: 'out-of-calibration' }])
    await away({ kind: 'calibration', fromOn: '2026-03-25', expectedBackOn: '2026-04-15', place: 'Calibration hall' })
    expect((await book(home, ...times)).status).toBe(201)
  })

  it('is not there for an app that may not see its home', async () => {
    const booking = (await book(home, '2026-03-04T15:00:00Z', '2026-03-06T15:00:00Z')).body
    const stranger = await service.as.app({ homes: [other] })
    expect((await stranger.get(`/v1/bookings/${booking.id}`)).status).toBe(404)
    expect((await stranger.get('/v1/bookings')).body.items).toEqual([])
    const end = stranger.agent.post(`/v1/bookings/${booking.id}/void`).set('if-match', '"1"').send({ reason: 'x' })
    expect((await end).status).toBe(404)
  })
})

describe('a booking that is moved', () => {
  const move = (id: string, change: object, version = 1) => app.patch(`/v1/bookings/${id}`, change, version)
  const errors = async (id: string, change: object) => (await move(id, change)).body.errors

  it('has its new time, home and monitor in one step; its old time is free again, and the history keeps it', async () => {
    const booking = (await book(home, '2026-03-04T15:00:00Z', '2026-03-06T15:00:00Z')).body
    const later = { from: '2026-03-05T15:00:00Z', until: '2026-03-07T15:00:00Z' }
    const moved = await move(booking.id, { ...later, propertyId: other, reason: 'The owner is away' })
    expect(moved.status).toBe(200)
    expect(moved.body).toMatchObject({
      propertyId: other,
      from: '2026-03-05T15:00:00.000Z',
      version: 2,
      voidedAt: null,
    })
    expect((await where()).nextBookingFrom).toBe('2026-03-05T15:00:00.000Z')
    expect((await book(home, '2026-03-03T15:00:00Z', '2026-03-05T15:00:00Z')).status).toBe(201)
    const spare = await aMonitor(app)
    expect((await move(booking.id, { deviceId: spare }, 2)).body).toMatchObject({ deviceId: spare, version: 3 })
    expect((await move(booking.id, { note: 'late' }, 2)).status).toBe(412)
    const was = await app.get(`/v1/properties/${home}/history`)
    expect(was.body.items).toMatchObject([
      {
        noun: 'booking',
        nounId: booking.id,
        reason: 'The owner is away',
        was: { propertyId: home, deviceId: monitor },
      },
    ])
  })

  it('is held to what a new one is held to: elsewhere, booked, out of calibration, over', async () => {
    await book(other, '2026-03-10T15:00:00Z', '2026-03-12T15:00:00Z')
    const { id } = (await book(home, '2026-03-05T15:00:00Z', '2026-03-07T15:00:00Z')).body
    expect(await errors(id, { until: '2026-03-10T15:00:01Z' })).toMatchObject([{ code: 'device-booked' }])
    expect(await errors(id, { until: '2027-01-02T15:00:00Z', from: '2026-12-30T15:00:00Z' })).toMatchObject([
      { pointer: '#/from', code: 'out-of-calibration' },
    ])
    const standing = await aMonitor(app)
    await set(other, {}, standing)
    const there = { from: '2026-03-03T15:00:00Z', until: '2026-03-05T15:00:00Z', deviceId: standing }
    expect(await errors(id, there)).toMatchObject([{ pointer: '#/deviceId', code: 'device-elsewhere' }])
    expect(await errors(id, { from: '2026-02-01T15:00:00Z', until: '2026-02-03T15:00:00Z' })).toMatchObject([
      { code: 'in-the-past' },
    ])
    expect(await errors(id, { until: '2026-03-05T14:00:00Z' })).toMatchObject([{ code: 'out-of-order' }])
    expect((await move(id, { until: '2026-03-10T15:00:00Z' })).status).toBe(200)
  })

  it('may be made longer while its monitor stands there, and no more once it was picked up', async () => {
    const { id } = (await book(home, '2026-03-02T12:00:00Z', '2026-03-05T15:00:00Z')).body
    const { test } = (await set(home)).body
    expect((await move(id, { until: '2026-03-06T15:00:00Z' })).status).toBe(200)
    expect(await where()).toMatchObject({ pickUpAt: '2026-03-06T15:00:00.000Z', pickUpBecause: 'booking' })
    await pickUp(test)
    const answer = await move(id, { until: '2026-03-08T15:00:00Z' }, 2)
    expect(answer.body.errors).toMatchObject([{ code: 'booking-over' }])
  })

  it('loses against one of two at once who want the same time, and waits for nobody who holds it', async () => {
    const { id } = (await book(home, '2026-03-05T15:00:00Z', '2026-03-07T15:00:00Z')).body
    const times = ['2026-03-10T15:00:00Z', '2026-03-12T15:00:00Z'] as const
    const answers = await Promise.all([move(id, { from: times[0], until: times[1] }), book(other, ...times)])
    expect(answers.map(answer => answer.status).filter(status => status === 422)).toHaveLength(1)
  })

  it('is moved by the office on its page, which says what it was before, and leads to putting it right', async () => {
    const { id } = (await book(home, '2026-03-05T15:00:00Z', '2026-03-07T15:00:00Z')).body
    const office = await service.as.office()
    expect((await office.get(`/devices/${monitor}`)).text).toContain(`href="/bookings/${id}/move"`)
    expect((await office.get(`/homes/${home}/devices`)).text).toContain(`href="/bookings/${id}/move"`)
    const shown = await office.get(`/bookings/${id}/move`)
    expect(shown.text).toContain(`href="/put-right/booking/${id}"`)
    const fields = { deviceId: monitor, from: '5 March 2026', until: '10 March 2026', reason: 'The owner is away' }
    await book(other, '2026-03-09T15:00:00Z', '2026-03-12T15:00:00Z')
    const taken = await office.submit(`/bookings/${id}/move`, { ...fields, version: '1' })
    expect(taken.status).toBe(422)
    expect(taken.text).toContain('is booked for 3 Quarry Road')
    const moved = await office.submit(`/bookings/${id}/move`, { ...fields, until: '8 March 2026', version: '1' })
    expect(moved.status).toBe(303)
    const { text } = await office.get(`/bookings/${id}/move`)
    expect(text.replace(/<[^>]+>/g, '').replace(/\s+/g, ' ')).toMatch(
      /What it was before ?Hourly HM-\d+ for 12 Kestrel Lane.*5 March.*7 March.*because: The owner is away/,
    )
    const crew = await service.as.crew()
    expect((await crew.get(`/bookings/${id}/move`)).status).toBe(403)
  })

  it('is not moved from or to a home that an app may not see', async () => {
    const { id } = (await book(home, '2026-03-05T15:00:00Z', '2026-03-07T15:00:00Z')).body
    const stranger = await service.as.app({ homes: [other] })
    expect((await stranger.patch(`/v1/bookings/${id}`, { propertyId: other }, 1)).status).toBe(404)
    const ofHome = await service.as.app({ homes: [home] })
    expect((await ofHome.patch(`/v1/bookings/${id}`, { propertyId: other }, 1)).status).toBe(404)
  })
})

describe('a monitor that goes away', () => {
  it('is refused while it stands at a home, is promised to one, or is away already', async () => {
    const { test } = (await set(home)).body
    const gone = { kind: 'repair', fromOn: '2026-03-02', expectedBackOn: '2026-03-10' }
    expect((await away(gone)).body.errors).toMatchObject([{ pointer: '#/fromOn', code: 'device-elsewhere' }])
    await pickUp(test)
    const booking = (await book(home, '2026-03-09T15:00:00Z', '2026-03-11T15:00:00Z')).body
    expect((await away(gone)).body.errors).toMatchObject([{ pointer: '#/expectedBackOn', code: 'device-booked' }])
    await app.agent.post(`/v1/bookings/${booking.id}/void`).set('if-match', '"1"').send({ reason: 'Put off' })
    expect((await away(gone)).status).toBe(201)
    expect((await away(gone)).body.errors).toMatchObject([{ code: 'away-already' }])
    expect(await where()).toMatchObject({ place: 'away', awayFor: 'repair', expectedBackOn: '2026-03-10' })
  })

  it('is at the shop again from the day it is back, and a day before it went is refused', async () => {
    const { id } = (await away({ kind: 'lent', fromOn: '2026-02-20' })).body
    const path = `/v1/devices/${monitor}/absences/${id}`
    expect((await app.patch(path, { backOn: '2026-02-19' }, 1)).body.errors).toMatchObject([{ pointer: '#/backOn' }])
    expect((await app.patch(path, { backOn: '2026-03-02' }, 1)).status).toBe(200)
    expect((await where()).place).toBe('shop')
    expect((await app.get(`/v1/devices/${monitor}/absences`)).body.items).toMatchObject([{ id, version: 2 }])
  })

  it('may be lost where it stands', async () => {
    await set(home)
    expect((await away({ kind: 'lost', fromOn: '2026-03-02' })).status).toBe(201)
    expect(await where()).toMatchObject({ place: 'lost', awaySince: '2026-03-02' })
  })

  it('is where it was when the time away was entered wrongly', async () => {
    const { id } = (await away({ kind: 'lost', fromOn: '2026-03-01' })).body
    const path = `/v1/devices/${monitor}/absences/${id}/void`
    expect((await app.agent.post(path).set('if-match', '"1"').send({ reason: 'In the van' })).status).toBe(200)
    expect((await where()).place).toBe('shop')
  })
})
