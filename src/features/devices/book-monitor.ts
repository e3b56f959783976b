import { obstaclesOf } from '../../domain/devices/obstacles-of.ts'
import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { type Fault, problem, stale } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { heldMonitors } from '../../standing/monitor-facts.ts'
import { seenHome } from '../../standing/seen-home.ts'
import { endSpentBookings, insertBooking, lockBooking, markBookingVoided } from './booking-queries.ts'
import type { NewBooking } from './booking-schemas.ts'

/** Promises a monitor to a home for a time; refused with what is in the way, where it is, and what to do about it. */
export async function bookMonitor(tx: Tx, act: Act, propertyId: string, input: NewBooking): Promise<string> {
  await seenHome(tx, act, propertyId)
  const { deviceId, from, until, note = '' } = input
  if (until <= act.now) throw impossible([past])
  const [monitor] = await heldMonitors(tx, act, [deviceId])
  if (!monitor) throw impossible([noMonitor(deviceId)])
  const obstacles = obstaclesOf(monitor, { propertyId, from, until, setting: false }, act.now)
  if (obstacles.length > 0) throw impossible(obstacles.map(one => ({ pointer: '/deviceId', ...one })))
  await endSpentBookings(tx, act.now, deviceId)
  const id = newId()
  await insertBooking(tx, act.now, { id, deviceId, propertyId, from, until, note })
  await recordWrite(tx, act, { action: 'create', noun: 'booking', id, propertyId, version: 1 })
  return id
}

export const past: Fault = {
  pointer: '/until',
  code: 'in-the-past',
  detail: 'is over already: a booking is for a test to come',
}
export const noMonitor = (id: string): Fault => ({
  pointer: '/deviceId',
  code: 'unknown-reference',
  detail: `There is no monitor ${id}: use one that is listed`,
})
export const impossible = (faults: readonly Fault[]) =>
  problem(422, 'impossible', 'The monitor cannot be booked like this; nothing was saved.', faults)

/** Takes a booking out: the monitor is free for that time again. */
export async function endBooking(tx: Tx, act: Act, bookingId: string, version: number, reason: string): Promise<void> {
  const was = await lockBooking(tx, act, bookingId)
  if (was.version !== version) throw stale(was.version)
  await markBookingVoided(tx, act.now, bookingId, reason)
  const { propertyId } = was
  const write = {
    action: 'void',
    noun: 'booking',
    id: bookingId,
    propertyId,
    version: version + 1,
    was,
    reason,
  } as const
  await recordWrite(tx, act, write)
}
