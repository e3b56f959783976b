import fc from 'fast-check'
import { DateTime } from 'luxon'
import { expect, test } from 'vitest'
import { addPeriod } from '../../src/domain/calendar/day-sums.ts'
import { endOfDay, instantOn, localDayOf, startOfDay } from '../../src/domain/calendar/local-day.ts'
import { wallTimeFrom } from '../../src/domain/calendar/wall-time.ts'

// luxon is the second opinion: another library on the same IANA zones.
const zones = [
  'America/Chicago',
  'America/St_Johns',
  'Europe/London',
  'Australia/Lord_Howe',
  'Asia/Kathmandu',
  'America/Havana',
  'Pacific/Auckland',
  'UTC',
]
const anyInstant = fc.integer({ min: Date.UTC(1995, 0, 1), max: Date.UTC(2045, 0, 1) })

test.each(zones)('in %s an instant falls on the same day, and days begin and end at the same instants', zone => {
  fc.assert(
    fc.property(anyInstant, at => {
      const there = DateTime.fromMillis(at, { zone })
      const day = localDayOf(at, zone)
      expect(day).toBe(there.toISODate())
      // Where midnight comes twice a library has to choose; which instants fall on the day is no choice.
      const date = (ms: number) => DateTime.fromMillis(ms, { zone }).toISODate()
      const start = startOfDay(day, zone)
      const end = endOfDay(day, zone)
      expect([date(start - 1), date(start)]).toEqual([there.minus({ days: 1 }).toISODate(), day])
      expect([date(end), date(end + 1)]).toEqual([day, there.plus({ days: 1 }).toISODate()])
      expect(instantOn(day, '10:00', zone)).toBe(
        there.set({ hour: 10, minute: 0, second: 0, millisecond: 0 }).toMillis(),
      )
    }),
    { numRuns: 300 },
  )
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
