import { DateTime } from 'luxon'
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest'
import { sweepReminders } from '../../src/features/reminders/sweep.ts'
import { buildTestApp, type TestApp } from '../support/test-app.ts'
import { changesOf } from '../support/zone-changes.ts'
import { aDueHome, emptied } from './due-homes.ts'

let app: TestApp
beforeAll(async () => {
  app = await buildTestApp()
})
beforeEach(() => emptied(app))
afterAll(() => app.close())

// luxon says when it is 9 and 18 there; PostgreSQL, which the sweep asks, has the IANA rules from elsewhere.
const zones: readonly [zone: string, year: number][] = [
  ['America/New_York', 2026],
  ['Europe/Berlin', 2026],
  ['Australia/Lord_Howe', 2026],
  ['America/Havana', 2026],
  ['Pacific/Apia', 2011],
  ['Africa/Casablanca', 2026],
]
const days = zones.flatMap(([zone, year]) =>
  changesOf(zone, Date.UTC(year, 0, 2), Date.UTC(year + 1, 0, 2)).map(at => {
    const day = DateTime.fromMillis(at, { zone }).toISODate()!
    return [day, zone] as const
  }),
)

test('each of these zones changes its clocks at least twice in the year', () => {
  for (const [zone] of zones) expect(days.filter(([, of]) => of === zone).length, zone).toBeGreaterThanOrEqual(2)
})

test.each(days)(
  'F13: on %s, when the clocks of %s change, reminders go out from 9 to 18 by the clock there',
  async (day, zone) => {
    const at = (hour: number) => DateTime.fromISO(day, { zone }).set({ hour }).toMillis()
    const sentAt = async (now: number) => {
      await aDueHome(app.db.pool, ['2011-01-01T00:00:00Z'], { property: { zone } })
      app.clock.set(now)
      const { mails } = await sweepReminders(app)
      await emptied(app)
      return mails
    }
    expect([await sentAt(at(9) - 1), await sentAt(at(9)), await sentAt(at(18) - 1), await sentAt(at(18))]).toEqual([
      0, 1, 1, 0,
    ])
  },
)
