import { obstaclesOf } from '../../domain/devices/obstacles-of.ts'
import { withoutBooking } from '../../domain/devices/without-booking.ts'
import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { stale } from '../../platform/http/problem.ts'
import { heldMonitors } from '../../standing/monitor-facts.ts'
import { seenHome } from '../../standing/seen-home.ts'
import { impossible, noMonitor, past } from './book-monitor.ts'
import { endSpentBookings, lockBooking, readBooking, updateBooking } from './booking-queries.ts'
import type { BookingChange } from './booking-schemas.ts'

/** A booking gets another time, home or monitor in one step, under the same holds as a new one; what it was stays in the history. */
export async function moveBooking(
  tx: Tx,
  act: Act,
  bookingId: string,
  version: number,
  { reason, ...change }: BookingChange,
): Promise<void> {
  const { deviceId: heldBy } = await readBooking(tx, act, bookingId)
  // Monitors are held before bookings, as where one is made.
  const held = await heldMonitors(tx, act, [...new Set([heldBy, change.deviceId ?? heldBy])])
  const was = await lockBooking(tx, act, bookingId)
  if (was.version !== version) throw stale(was.version)
  const said = Object.fromEntries(Object.entries(change).filter(([, value]) => value !== undefined))
  const now = { ...was, ...said }
  const { deviceId, propertyId, from, until } = now
  if (propertyId !== was.propertyId) await seenHome(tx, act, propertyId)
  const stands = held.some(one => one.deviceId === was.deviceId && one.bookings.some(({ id }) => id === bookingId))
  if (!stands) throw impossible([over])
  if (until <= from) throw impossible([backwards])
  if (until <= act.now) throw impossible([past])
  const monitor = held.find(one => one.deviceId === deviceId)
  if (!monitor) throw impossible([noMonitor(deviceId)])
  const wanted = { propertyId, from, until, setting: false }
  const obstacles = obstaclesOf(withoutBooking(monitor, bookingId, propertyId), wanted, act.now)
  if (obstacles.length > 0) throw impossible(obstacles.map(one => ({ pointer: pointerOf(change), ...one })))
  await endSpentBookings(tx, act.now, deviceId)
  await updateBooking(tx, now)
  const of = { noun: 'booking', id: bookingId, version: version + 1, fields: Object.keys(said), was, reason } as const
  await recordWrite(tx, act, { ...of, action: 'correct', propertyId: was.propertyId })
  if (propertyId !== was.propertyId)
    await recordWrite(tx, act, { ...of, action: 'move', propertyId, was: undefined, reason: undefined })
}

// What was changed is what the fault is shown at.
const pointerOf = ({ deviceId, propertyId }: BookingChange) => {
  if (deviceId !== undefined) return '/deviceId'
  return propertyId === undefined ? '/from' : '/propertyId'
}

const over = {
  pointer: '/from',
  code: 'booking-over',
  detail: 'This booking is over: its time has passed, or its test was picked up. Book the monitor anew',
}
const backwards = { pointer: '/until', code: 'out-of-order', detail: 'is not after from: correct one of the two' }
