import { addDays } from '../../src/domain/calendar/day-sums.ts'
import { instantOn, localDayOf } from '../../src/domain/calendar/local-day.ts'
import type { Instant, TestMethod, TestPurpose } from '../../src/domain/facts.ts'
import { acceptResult } from '../../src/features/tests/correct-test.ts'
import { recordTest } from '../../src/features/tests/record-test.ts'
import type { NewTest } from '../../src/features/tests/schemas.ts'
import type { Tx } from '../../src/platform/db/client.ts'
import type { Act } from '../../src/platform/db/record-write.ts'
import type { DeviceKey } from './cast.ts'
import { hourlyRadon } from './numbers.ts'

/** Tells what happened at one home: every moment is so many days before today, on the home's own clock. */
export type Teller = {
  readonly tx: Tx
  readonly propertyId: string
  readonly at: (daysAgo: number, time?: string) => Instant
  readonly act: (at: Instant) => Act
  readonly room: (name: string) => string
  readonly device: (key: DeviceKey) => string
  readonly staff: (key: string) => string
}

const hour = 3_600_000

export function teller(options: {
  tx: Tx
  now: Instant
  zone: string
  propertyId: string
  rooms: ReadonlyMap<string, string>
  devices: ReadonlyMap<string, string>
  staff: ReadonlyMap<string, string>
}): Teller {
  const { tx, now, zone, propertyId } = options
  const today = localDayOf(now, zone)
  const known = (map: ReadonlyMap<string, string>, key: string) => {
    const id = map.get(key)
    if (!id) throw new Error(`the demo knows no ${key}`)
    return id
  }
  return {
    tx,
    propertyId,
    at: (daysAgo, time = '10:00') => instantOn(addDays(today, -daysAgo), time, zone),
    act: at => ({ actor: { kind: 'system', id: null }, now: Math.min(at, now), requestId: 'demo' }),
    room: name => known(options.rooms, name),
    device: key => known(options.devices, key),
    staff: key => known(options.staff, key),
  }
}

type Told = {
  readonly purpose: TestPurpose
  readonly systemId?: string | null
  readonly follows?: string | null
  readonly accepted?: boolean
  readonly source?: NewTest['source']
}

/** A test with an hourly monitor in one room; gives its id. */
export async function monitorTest(
  t: Teller,
  told: Told & {
    daysAgo: number
    hours?: number
    mean: number
    room: string
    device?: DeviceKey
    closedHoursBefore?: number
  },
): Promise<string> {
  const hours = told.hours ?? 52
  const setAt = t.at(told.daysAgo, '09:00')
  const end = setAt + hours * hour
  return tell(t, told, end, {
    method: 'continuous-monitor',
    setAt,
    pickedUpAt: end,
    resultInAt: end,
    closedSince: setAt - (told.closedHoursBefore ?? 14) * hour,
    exposures: [
      {
        role: 'measurement',
        locationId: t.room(told.room),
        deviceId: t.device(told.device ?? 'monitor-a'),
        startAt: setAt,
        stopAt: end,
        heightCm: 90,
        fromOpeningCm: 180,
        fromExteriorWallCm: 60,
        fromHeatCm: 240,
        fromObjectCm: 30,
        record: {
          startAt: setAt,
          intervalMinutes: 60,
          unit: 'pCi/L',
          values: hourlyRadon({
            mean: told.mean,
            hours,
            seed: Math.round(told.daysAgo * 31 + told.mean * 7),
            startHour: 9,
          }),
          deviceCorrectedFirstHours: false,
        },
      },
    ],
  })
}

/** A test with kits, a result a room as the laboratory reported it; gives its id. */
export async function kitTest(
  t: Teller,
  told: Told & {
    daysAgo: number
    days: number
    method?: TestMethod
    results: Readonly<Record<string, string | null>>
    unit?: 'pCi/L' | 'Bq/m3'
    uncertainty?: string
    laboratoryDays?: number
    device?: DeviceKey
  },
): Promise<string> {
  const setAt = t.at(told.daysAgo, '11:00')
  const stop = t.at(told.daysAgo - told.days, '11:00')
  const resultInAt = stop + (told.laboratoryDays ?? 5) * 24 * hour
  const isIn = Object.values(told.results).some(value => value !== null)
  return tell(t, told, isIn ? resultInAt : stop + 24 * hour, {
    method: told.method ?? 'activated-charcoal',
    setAt,
    pickedUpAt: stop,
    sentToLabAt: stop + 3 * hour,
    laboratory: 'Sill Creek Laboratory',
    ...(isIn ? { resultInAt } : {}),
    closedSince: setAt - 15 * hour,
    exposures: Object.entries(told.results).map(([room, value], i) => ({
      role: 'measurement' as const,
      locationId: t.room(room),
      deviceId: t.device(told.device ?? (told.method === 'alpha-track' ? 'track' : 'charcoal')),
      kitNumber: `${Math.round(told.daysAgo * 7 + 1000)}${i}`,
      startAt: setAt,
      stopAt: stop,
      heightCm: 100,
      ...(value === null
        ? {}
        : {
            result: {
              value,
              unit: told.unit ?? 'pCi/L',
              qualifier: '=' as const,
              uncertainty: told.uncertainty ?? null,
            },
          }),
    })),
  })
}

async function tell(t: Teller, told: Told, at: Instant, facts: Omit<NewTest, 'purpose'>): Promise<string> {
  const { testId } = await recordTest(t.tx, t.act(at), t.propertyId, {
    purpose: told.purpose,
    systemId: told.systemId ?? null,
    followsTestId: told.follows ?? null,
    source: told.source ?? 'own',
    setBy: 'Jo Tamarack',
    closedDuring: 'yes',
    severeWeather: 'no',
    systemRunning: told.systemId ? 'yes' : 'unknown',
    tampering: 'no',
    ...facts,
  })
  if ((told.accepted ?? true) && facts.resultInAt) await acceptResult(t.tx, t.act(at + hour), testId, 1)
  return testId
}
