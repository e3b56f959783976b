import { describe, expect, it } from 'vitest'
import { chasesOfMonitor } from '../../../src/domain/devices/chase-monitor.ts'
import type { BookingFacts, MonitorFacts, StayFacts } from '../../../src/domain/devices/monitor-facts.ts'
import { obstaclesOf, type Wanted } from '../../../src/domain/devices/obstacles-of.ts'
import { whereaboutsOf } from '../../../src/domain/devices/whereabouts-of.ts'

const at = (text: string): number => Date.parse(text)
const now = at('2026-03-10T09:00:00-05:00')

const facts = (more: Partial<MonitorFacts> = {}): MonitorFacts => ({
  deviceId: 'monitor',
  name: 'Hourly HM-1',
  zone: 'America/Chicago',
  retiredAt: null,
  calibrations: [],
  stays: [],
  bookings: [],
  absences: [],
  ...more,
})
const stay = (since: string, more: Partial<StayFacts> = {}): StayFacts => ({
  testId: 'test',
  propertyId: 'kestrel',
  home: '12 Kestrel Lane',
  zone: 'America/Chicago',
  room: 'Basement',
  since: at(since),
  visitAt: null,
  ...more,
})
const booking = (from: string, until: string, propertyId = 'quarry'): BookingFacts => ({
  id: `${from} ${propertyId}`,
  propertyId,
  home: '3 Quarry Road',
  from: at(from),
  until: at(until),
})
const away = (fromOn: string, more: object = {}) => ({
  id: 'absence',
  kind: 'calibration' as const,
  fromOn,
  expectedBackOn: null,
  backOn: null,
  place: '',
  ...more,
})

describe('the place of a monitor', () => {
  const placeOf = (more: Partial<MonitorFacts>, when = now) => whereaboutsOf(facts(more), when).place
  it.each([
    ['at the shop when nothing else is known', {}, 'shop'],
    ['at the home where a test goes on', { stays: [stay('2026-03-09T09:00:00-05:00')] }, 'home'],
    ['not at a home before it is set there', { stays: [stay('2026-03-10T09:00:01-05:00')] }, 'shop'],
    ['away from the day it is sent', { absences: [away('2026-03-10')] }, 'away'],
    ['at the shop until the day it is to be sent', { absences: [away('2026-03-11')] }, 'shop'],
    ['away until the day before it is back', { absences: [away('2026-03-01', { backOn: '2026-03-11' })] }, 'away'],
    ['at the shop on the day it is back', { absences: [away('2026-03-01', { backOn: '2026-03-10' })] }, 'shop'],
    [
      'lost, even where it stood',
      { stays: [stay('2026-03-09T09:00:00-05:00')], absences: [away('2026-03-10', { kind: 'lost' })] },
      'lost',
    ],
    ['out of use from the moment it is retired', { retiredAt: now }, 'retired'],
    ['in use a moment before', { retiredAt: now + 1 }, 'shop'],
  ] as const)('is %s', (_, more, kind) => {
    expect(placeOf(more as Partial<MonitorFacts>).kind).toBe(kind)
  })

  it('is the home where it was set last, when two tests claim it', () => {
    const stays = [stay('2026-03-08T09:00:00-05:00'), stay('2026-03-09T09:00:00-05:00', { propertyId: 'quarry' })]
    for (const order of [stays, stays.toReversed()])
      expect(placeOf({ stays: order })).toMatchObject({ kind: 'home', stay: { propertyId: 'quarry' } })
  })

  // 48 hours: 25 Pa. Code § 240.310(a)(4)(ii).
  it('is left 48 hours after it was set, or when it is booked until, or when a visit is planned', () => {
    const since = '2026-03-09T09:00:00-05:00'
    const bookings = [booking('2026-03-09T08:00:00-05:00', '2026-03-13T12:00:00-05:00', 'kestrel')]
    const visitAt = at('2026-03-12T10:00:00-05:00')
    const pickUpOf = (more: Partial<MonitorFacts>) => (placeOf(more) as { pickUp: object }).pickUp
    expect(pickUpOf({ stays: [stay(since)] })).toEqual({
      at: at('2026-03-11T09:00:00-05:00'),
      because: 'shortest-test',
    })
    expect(pickUpOf({ stays: [stay(since)], bookings })).toEqual({ at: bookings[0]!.until, because: 'booking' })
    expect(pickUpOf({ stays: [stay(since, { visitAt })], bookings })).toEqual({ at: visitAt, because: 'visit' })
  })

  it('is held too long from the day after the pick-up, on the clock of the home', () => {
    const visitAt = at('2026-03-09T23:30:00-05:00')
    const stays = [stay('2026-03-07T09:00:00-05:00', { visitAt })]
    expect(placeOf({ stays }, at('2026-03-09T23:59:59-05:00'))).toMatchObject({ late: false })
    expect(placeOf({ stays }, at('2026-03-10T00:00:00-05:00'))).toMatchObject({ late: true })
  })

  it('names as next the first booking that is not the one it stands there for', () => {
    const stays = [stay('2026-03-09T09:00:00-05:00')]
    const bookings = [
      booking('2026-03-20T09:00:00-05:00', '2026-03-22T09:00:00-05:00'),
      booking('2026-03-09T09:00:00-05:00', '2026-03-12T09:00:00-05:00', 'kestrel'),
      booking('2026-03-15T09:00:00-05:00', '2026-03-17T09:00:00-05:00'),
    ]
    expect(whereaboutsOf(facts({ stays, bookings }), now).next).toBe(bookings[2])
  })
})

describe('what is in the way of a monitor', () => {
  const wanted = (more: Partial<Wanted> = {}): Wanted => ({
    propertyId: 'kestrel',
    from: at('2026-03-12T09:00:00-05:00'),
    until: at('2026-03-14T09:00:00-05:00'),
    setting: false,
    ...more,
  })
  const codes = (more: Partial<MonitorFacts>, want: Partial<Wanted> = {}) =>
    obstaclesOf(facts(more), wanted(want), now).map(one => one.code)
  const other = (since: string, visitAt: string | null) =>
    stay(since, { propertyId: 'quarry', testId: 'other', visitAt: visitAt === null ? null : at(visitAt) })

  it('is nothing at the shop, without a calibration on record', () => {
    expect(codes({})).toEqual([])
  })

  it('is a test elsewhere that ends a moment later, not one that ends when it is wanted', () => {
    const since = '2026-03-09T09:00:00-05:00'
    expect(codes({ stays: [other(since, '2026-03-12T09:00:01-05:00')] })).toEqual(['device-elsewhere'])
    expect(codes({ stays: [other(since, '2026-03-12T09:00:00-05:00')] })).toEqual([])
  })

  it('is a test elsewhere that is not picked up, for whoever sets it now, whenever it was to end', () => {
    const stays = [other('2026-03-01T09:00:00-05:00', '2026-03-03T09:00:00-05:00')]
    const setting = { from: now, until: now + 48 * 3_600_000, setting: true }
    expect(codes({ stays }, setting)).toEqual(['device-elsewhere'])
    expect(codes({ stays }, { ...setting, testId: 'other' })).toEqual([])
  })

  it('is a booking that overlaps by a moment, and never the home’s own for whoever sets it there', () => {
    const touching = booking('2026-03-14T09:00:00-05:00', '2026-03-16T09:00:00-05:00')
    expect(codes({ bookings: [touching] })).toEqual([])
    expect(codes({ bookings: [{ ...touching, from: touching.from - 1 }] })).toEqual(['device-booked'])
    const own = booking('2026-03-12T09:00:00-05:00', '2026-03-14T09:00:00-05:00', 'kestrel')
    expect(codes({ bookings: [own] })).toEqual(['device-booked'])
    expect(codes({ bookings: [own] }, { setting: true })).toEqual([])
  })

  it('is a time away that is expected to end after the day it is wanted, and not one that ends on it', () => {
    const back = (expectedBackOn: string) => ({ absences: [away('2026-03-01', { kind: 'repair', expectedBackOn })] })
    expect(codes(back('2026-03-13'))).toEqual(['device-away'])
    expect(codes(back('2026-03-12'))).toEqual([])
    expect(codes(back('2026-03-12'), { setting: true })).toEqual(['device-away'])
    expect(codes({ absences: [away('2026-03-14')] })).toEqual(['device-away'])
    expect(codes({ absences: [away('2026-03-15')] })).toEqual([])
    expect(codes({ absences: [away('2026-03-01', { kind: 'lost' })] })).toEqual(['device-lost'])
  })

  it('is a calibration that ends the day before the test does, and not one that ends on its last day', () => {
    const until = (validUntil: string) => ({ calibrations: [{ calibratedOn: '2025-03-14', validUntil }] })
    expect(codes(until('2026-03-13'))).toEqual(['out-of-calibration'])
    expect(codes(until('2026-03-14'))).toEqual([])
    expect(codes({ calibrations: [{ calibratedOn: '2026-03-15', validUntil: '2027-03-15' }] })).toEqual([
      'out-of-calibration',
    ])
  })

  it('is no calibration that ends before, when it is back from the next one by then; but it is for whoever sets it', () => {
    const more = {
      calibrations: [{ calibratedOn: '2025-03-10', validUntil: '2026-03-10' }],
      absences: [away('2026-03-11', { expectedBackOn: '2026-03-12' })],
    }
    expect(codes(more)).toEqual([])
    expect(codes(more, { from: now, until: now + 48 * 3_600_000, setting: true })).toContain('out-of-calibration')
  })

  it('is being out of use before the end', () => {
    expect(codes({ retiredAt: at('2026-03-14T08:59:59-05:00') })).toEqual(['device-retired'])
    expect(codes({ retiredAt: at('2026-03-14T09:00:00-05:00') })).toEqual([])
  })

  it('does not name a home that may not be seen', () => {
    const stays = [{ ...other('2026-03-09T09:00:00-05:00', null), home: null }]
    const [first] = obstaclesOf(facts({ stays }), wanted({ setting: true }), now)
    expect(first?.detail).toContain('another home')
  })
})

describe('what is chased of a monitor', () => {
  const kinds = (more: Partial<MonitorFacts>, when = now) => chasesOfMonitor(facts(more), when).map(chase => chase.kind)

  it('is one that was not picked up on the day, from the next day on', () => {
    const stays = [stay('2026-03-07T09:00:00-05:00', { visitAt: at('2026-03-09T10:00:00-05:00') })]
    expect(kinds({ stays }, at('2026-03-09T20:00:00-05:00'))).toEqual([])
    expect(chasesOfMonitor(facts({ stays }), now)).toMatchObject([
      { kind: 'not-picked-up', dueOn: '2026-03-09', act: 'plan-visit', reason: expect.stringContaining('for 3 days') },
    ])
  })

  it('is one that is not back, from the day after it was expected', () => {
    const back = (expectedBackOn: string) => kinds({ absences: [away('2026-02-10', { expectedBackOn })] })
    expect(back('2026-03-10')).toEqual([])
    expect(back('2026-03-09')).toEqual(['not-back'])
  })

  it('is a calibration that ends within 30 days, where it is booked after that', () => {
    const calibrated = (validUntil: string, until: string) =>
      kinds({
        calibrations: [{ calibratedOn: '2025-04-01', validUntil }],
        bookings: [booking('2026-04-08T09:00:00-05:00', until)],
      })
    expect(calibrated('2026-04-09', '2026-04-12T09:00:00-05:00')).toEqual(['calibration-ends'])
    expect(calibrated('2026-04-10', '2026-04-12T09:00:00-05:00')).toEqual([])
    expect(calibrated('2026-04-09', '2026-04-09T23:00:00-05:00')).toEqual([])
    expect(calibrated('2026-03-01', '2026-04-12T09:00:00-05:00')).toEqual(['calibration-ends'])
  })

  it('tells the day on which it is to be sent to be calibrated, and nothing once it is there', () => {
    const more = (fromOn: string) => ({
      calibrations: [{ calibratedOn: '2025-04-01', validUntil: '2026-04-01' }],
      bookings: [booking('2026-04-08T09:00:00-05:00', '2026-04-12T09:00:00-05:00')],
      absences: [away(fromOn, { expectedBackOn: '2026-04-01' })],
    })
    expect(chasesOfMonitor(facts(more('2026-03-11')), now)).toMatchObject([
      { kind: 'calibration-ends', dueOn: '2026-03-11', reason: expect.stringContaining('to be sent on 2026-03-11') },
    ])
    expect(kinds(more('2026-03-10'))).toEqual([])
  })

  it('is a booking that begins before the monitor is back, or free', () => {
    const bookings = [booking('2026-03-12T09:00:00-05:00', '2026-03-14T09:00:00-05:00')]
    expect(kinds({ bookings, absences: [away('2026-03-01', { expectedBackOn: '2026-03-12' })] })).toEqual([])
    expect(kinds({ bookings, absences: [away('2026-03-01', { expectedBackOn: '2026-03-13' })] })).toEqual([
      'booked-while-away',
    ])
    expect(kinds({ bookings, absences: [away('2026-03-01', { kind: 'lost' })] })).toEqual(['booked-while-away'])
    const until = (visitAt: string) => [stay('2026-03-09T09:00:00-05:00', { visitAt: at(visitAt) })]
    expect(kinds({ bookings, stays: until('2026-03-12T09:00:00-05:00') })).toEqual([])
    expect(kinds({ bookings, stays: until('2026-03-12T09:00:01-05:00') })).toEqual(['booked-while-standing'])
  })
})
