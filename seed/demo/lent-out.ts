import { addDays } from '../../src/domain/calendar/day-sums.ts'
import { instantOn, localDayOf } from '../../src/domain/calendar/local-day.ts'
import { bookMonitor } from '../../src/features/devices/book-monitor.ts'
import { correctKit, leaveKit } from '../../src/features/devices/leave-kit.ts'
import { sendAway } from '../../src/features/devices/send-away.ts'
import { recordTest } from '../../src/features/tests/record-test.ts'
import { planVisit } from '../../src/features/visits/plan-visit.ts'
import type { Tx } from '../../src/platform/db/client.ts'
import type { Act } from '../../src/platform/db/record-write.ts'
import { company, type DeviceKey } from './cast.ts'

type Ids = ReadonlyMap<string, string>
type Places = {
  readonly tx: Tx
  readonly act: Act
  readonly tools: Ids
  /** The homes of the demo by their key, each with its zone. */
  readonly homes: ReadonlyMap<string, { readonly id: string; readonly zone: string }>
}

/** What the company has out today: monitors standing, promised and away, and a kit in every state. */
export async function lendOut(places: Places): Promise<void> {
  await forgottenMonitor(places)
  await promisedMonitor(places)
  await awayMonitors(places)
  for (const kit of kits) await leftKit(places, kit)
}

const known = <T>(map: ReadonlyMap<string, T>, key: string): T => {
  const found = map.get(key)
  if (found === undefined) throw new Error(`the demo knows no ${key}`)
  return found
}
const day = ({ act }: Places, zone: string, ahead: number) => addDays(localDayOf(act.now, zone), ahead)

// Set six days ago, and the visit that was to fetch it fell through.
async function forgottenMonitor(places: Places): Promise<void> {
  const { tx, act, tools } = places
  const { id, zone } = known(places.homes, 'orchard')
  const setAt = instantOn(day(places, zone, -6), '09:30', zone)
  await recordTest(tx, act, id, {
    purpose: 'retest',
    method: 'continuous-monitor',
    setAt,
    setBy: 'Wes Alderby',
    closedSince: setAt - 14 * 3_600_000,
    exposures: [{ role: 'measurement', deviceId: known(tools, 'monitor-d') }],
  })
  const startsAt = instantOn(day(places, zone, -3), '10:00', zone)
  await planVisit(tx, act, id, { purpose: 'pick-up-device', startsAt, instructions: 'Monitor in the living room.' })
}

// Booked for after its calibration ends: it has to be sent there in between.
async function promisedMonitor(places: Places): Promise<void> {
  const { tx, act, tools } = places
  const deviceId = known(tools, 'monitor-b')
  const fromOn = day(places, company.zone, 10)
  const back = day(places, company.zone, 26)
  await sendAway(tx, act, deviceId, { kind: 'calibration', fromOn, expectedBackOn: back, place: 'Calibration hall' })
  const { id, zone } = known(places.homes, 'bluff')
  const from = instantOn(day(places, zone, 27), '09:00', zone)
  await bookMonitor(tx, act, id, { deviceId, from, until: from + 3 * 86_400_000 })
}

async function awayMonitors(places: Places): Promise<void> {
  const { tx, act, tools } = places
  const on = (ahead: number) => day(places, company.zone, ahead)
  const repair = { kind: 'repair', fromOn: on(-24), expectedBackOn: on(-3), place: 'The maker' } as const
  await sendAway(tx, act, known(tools, 'monitor-e'), repair)
  await sendAway(tx, act, known(tools, 'monitor-f'), {
    kind: 'lost',
    fromOn: on(-200),
    note: 'Not found after a move.',
  })
}

type Left = {
  readonly home: string
  readonly number: string
  readonly lot: DeviceKey
  readonly left: number
  readonly from?: number
  readonly to?: number
  readonly posted?: number
  readonly became?: 'returnedOn' | 'lostOn'
}
// Days ago.
const kits: readonly Left[] = [
  { home: 'larkspur', number: '26-0418', lot: 'charcoal-b', left: 9 },
  { home: 'sorrel', number: '26-0421', lot: 'charcoal-b', left: 2 },
  { home: 'meadow', number: '26-0409', lot: 'charcoal-b', left: 14, from: 9 },
  { home: 'heron', number: '26-0412', lot: 'charcoal-b', left: 12, from: 10, to: 6 },
  { home: 'quarry', number: '26-0397', lot: 'charcoal-b', left: 32, from: 31, to: 27, posted: 26 },
  { home: 'cove', number: '26-0420', lot: 'charcoal-b', left: 9, from: 8, to: 4, posted: 3 },
  { home: 'dale', number: '26-0388', lot: 'charcoal-b', left: 60, became: 'returnedOn' },
  { home: 'mill', number: '26-0381', lot: 'charcoal-b', left: 95, from: 94, became: 'lostOn' },
  { home: 'moor', number: 'T-2206', lot: 'track', left: 40, from: 38 },
]

async function leftKit(places: Places, { home, number, lot, left, became, ...days }: Left): Promise<void> {
  const { tx, act, tools } = places
  const { id, zone } = known(places.homes, home)
  const ago = (count: number | undefined) => (count === undefined ? null : day(places, zone, -count))
  const kitId = await leaveKit(tx, act, id, {
    deviceId: known(tools, lot),
    number,
    purpose: 'retest',
    leftOn: ago(left)!,
    exposedFrom: ago(days.from),
    exposedTo: ago(days.to),
    postedOn: ago(days.posted),
  })
  if (became) await correctKit(tx, act, kitId, 1, { [became]: ago(left - 20) })
}
