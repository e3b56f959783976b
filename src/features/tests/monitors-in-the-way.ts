import { obstaclesOf } from '../../domain/devices/obstacles-of.ts'
import { pickUpOf } from '../../domain/devices/pick-up.ts'
import type { Instant } from '../../domain/facts.ts'
import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { heldMonitors } from '../../standing/monitor-facts.ts'
import type { Contradiction } from './contradictions.ts'

/** A test as far as its monitors are concerned. */
export type TestWithDevices = {
  readonly propertyId: string
  /** Where it is in what was sent. */
  readonly pointer: string
  readonly testId?: string
  readonly setAt: Instant | null
  /** Picked up, or with a result: what was measured is recorded, and a finding says what was wrong with it. */
  readonly over: boolean
  readonly exposures: readonly { readonly deviceId?: string | null }[]
}

/**
 * A fault for every monitor that cannot be where a test that goes on from now wants it: elsewhere, booked, away, or out
 * of calibration before the end. Holds the monitors, so that of two tests set at once with one the second is refused.
 */
export async function monitorsInTheWay(tx: Tx, act: Act, tests: readonly TestWithDevices[]): Promise<Contradiction[]> {
  const open = tests.filter(({ setAt, over }) => setAt !== null && !over)
  const deviceIds = [...new Set(open.flatMap(({ exposures }) => exposures.flatMap(({ deviceId }) => deviceId ?? [])))]
  if (deviceIds.length === 0) return []
  const monitors = new Map((await heldMonitors(tx, act, deviceIds)).map(one => [one.deviceId, one]))
  return open.flatMap(test =>
    test.exposures.flatMap(({ deviceId }, i) => {
      const monitor = deviceId ? monitors.get(deviceId) : undefined
      if (!monitor) return []
      const pointer = `${test.pointer}/exposures/${i}/deviceId`
      if (test.exposures.findIndex(other => other.deviceId === deviceId) < i)
        return [{ pointer, ...twice(monitor.name) }]
      const { propertyId, testId } = test
      const from = test.setAt!
      const stay = { testId: '', propertyId, home: null, zone: '', room: '', since: from, visitAt: null }
      const until = Math.max(pickUpOf(stay, monitor.bookings).at, act.now)
      return obstaclesOf(monitor, { propertyId, from, until, testId, setting: true }, act.now).map(one => ({
        pointer,
        ...one,
      }))
    }),
  )
}

const twice = (name: string) => ({
  code: 'device-twice',
  detail: `${name} is named for two places of this test: a monitor stands in one, take another for the second`,
})
