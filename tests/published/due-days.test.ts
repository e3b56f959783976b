import fc from 'fast-check'
import { DateTime } from 'luxon'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { addPeriod } from '../../src/domain/calendar/day-sums.ts'
import { endOfDay, instantOn, localDayOf, startOfDay } from '../../src/domain/calendar/local-day.ts'
import { wallTimeFrom } from '../../src/domain/calendar/wall-time.ts'
import { size } from '../support/scale.ts'
import { changesOf } from '../support/zone-changes.ts'

// luxon is the second opinion: another library on the same IANA zones.
const zones = [
  'America/Chicago',
  'America/New_York',
  'America/St_Johns',
  'Europe/London',
  'Europe/Berlin',
  // Half an hour.
  'Australia/Lord_Howe',
  'Asia/Kathmandu',
  // At midnight.
  'America/Havana',
  // 30 December 2011 did not happen.
  'Pacific/Apia',
  // Around Ramadan, a month that moves.
  'Africa/Casablanca',
  'Pacific/Auckland',
  'UTC',
]
const day = 86_400_000
const [since, until] = [Date.UTC(1995, 0, 1), Date.UTC(2037, 0, 1)]
const anyInstant = fc.integer({ min: since, max: until })

/** An instant within two days of one at which the zone's clocks change, or anyhow when they never do. */
function nearAChange(zone: string) {
  const changes = changesOf(zone, since, until)
  if (changes.length === 0) return anyInstant
  return fc.tuple(fc.constantFrom(...changes), fc.integer({ min: -2 * day, max: 2 * day })).map(([at, off]) => at + off)
}

// What the process itself takes for local time must not matter.
describe.each(['UTC', 'America/New_York', 'Pacific/Apia'])('in a process whose own zone is %s', own => {
  const before = process.env.TZ
  beforeAll(() => {
    process.env.TZ = own
    expect(Intl.DateTimeFormat().resolvedOptions().timeZone).toBe(own)
  })
  afterAll(() => {
    process.env.TZ = before
  })

  test.each(zones)('in %s an instant falls on the same day, and days begin and end at the same instants', zone => {
    const holds = (at: number) => {
      const there = DateTime.fromMillis(at, { zone })
      const today = localDayOf(at, zone)
      expect(today).toBe(there.toISODate())
      // Where midnight comes twice a library has to choose; which instants fall on the day is no choice.
      const date = (ms: number) => DateTime.fromMillis(ms, { zone }).toISODate() ?? ''
      const start = startOfDay(today, zone)
      const end = endOfDay(today, zone)
      expect([date(start), date(end)]).toEqual([today, today])
      expect(date(start - 1) < today && today < date(end + 1)).toBe(true)
      expect(instantOn(today, '10:00', zone)).toBe(
        there.set({ hour: 10, minute: 0, second: 0, millisecond: 0 }).toMillis(),
      )
    }
    fc.assert(fc.property(anyInstant, holds), { numRuns: size(40, 1000) })
    fc.assert(fc.property(nearAChange(zone), holds), { numRuns: size(40, 1000) })
  })
})

test('the day that Samoa left out has no instant of its own: what is due on it is due when the next day begins', () => {
  const next = DateTime.fromISO('2011-12-31T00:00', { zone: 'Pacific/Apia' }).toMillis()
  expect(localDayOf(next - 1, 'Pacific/Apia')).toBe('2011-12-29')
  expect(localDayOf(next, 'Pacific/Apia')).toBe('2011-12-31')
  expect(startOfDay('2011-12-30', 'Pacific/Apia')).toBe(next)
})

test.each(['P2Y', 'P5Y', 'P3M', 'P30D', 'P91D', 'P2W'])('%s later is the same day of the calendar', period => {
  fc.assert(
    fc.property(anyInstant, at => {
      const day = DateTime.fromMillis(at, { zone: 'UTC' })
      const units = { Y: 'years', M: 'months', D: 'days', W: 'weeks' }
      const unit = units[period.at(-1) as keyof typeof units]
      expect(addPeriod(day.toISODate() ?? '', period)).toBe(
        day.plus({ [unit]: Number(period.slice(1, -1)) }).toISODate(),
      )
    }),
  )
})

test.each([
  ['2024-02-29', 'P2Y', '2026-02-28'],
  ['2023-12-31', 'P2M', '2024-02-29'],
  ['2025-12-31', 'P1D', '2026-01-01'],
])('%s and %s is %s', (day, period, due) => {
  expect(addPeriod(day, period)).toBe(due)
})

test('a day of a clock change has 23 and 25 hours', () => {
  const hours = (day: string) => (endOfDay(day, 'America/Chicago') + 1 - startOfDay(day, 'America/Chicago')) / 3_600_000
  expect([hours('2026-03-08'), hours('2026-11-01'), hours('2026-11-02')]).toEqual([23, 25, 24])
})

test('the repeated hour of autumn means two instants, the skipped one of spring the change itself', () => {
  const repeated = wallTimeFrom('2026-11-01T01:30', 'America/Chicago')
  expect(repeated).toMatchObject({
    kind: 'repeated',
    first: Date.parse('2026-11-01T06:30Z'),
    second: Date.parse('2026-11-01T07:30Z'),
  })
  const skipped = wallTimeFrom('2026-03-08T02:30', 'America/Chicago')
  expect(skipped).toMatchObject({ kind: 'skipped', first: Date.parse('2026-03-08T08:00Z') })
})
