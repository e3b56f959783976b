import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { MonitorFacts } from '../../domain/devices/monitor-facts.ts'
import type { LocalDay } from '../../domain/facts.ts'
import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { type Fault, notFound, problem, stale } from '../../platform/http/problem.ts'
import { newId } from '../../platform/ids.ts'
import { heldMonitors } from '../../standing/monitor-facts.ts'
import {
  type AbsenceRow,
  absenceOverlapping,
  insertAbsence,
  markAbsenceVoided,
  readAbsence,
  updateAbsence,
} from './absence-queries.ts'
import type { AbsenceCorrection, NewAbsence } from './absence-schemas.ts'

/** A monitor goes away: to be calibrated or repaired, lent, or it is lost. A day to come is a plan. */
export async function sendAway(tx: Tx, act: Act, deviceId: string, input: NewAbsence): Promise<string> {
  const monitor = await heldMonitor(tx, act, deviceId)
  const { kind, fromOn, expectedBackOn = null, place = '', note = '' } = input
  const absence = { id: newId(), deviceId, kind, fromOn, expectedBackOn, place, note }
  refuse([
    ...stillStanding(monitor, absence, act.now),
    ...promised(monitor, absence),
    ...(await twice(tx, { ...absence, backOn: null })),
  ])
  await insertAbsence(tx, act.now, absence)
  await recordWrite(tx, act, { action: 'create', noun: 'absence', id: absence.id, version: 1 })
  return absence.id
}

/** It is back, or expected on another day. */
export async function correctAbsence(
  tx: Tx,
  act: Act,
  of: { deviceId: string; absenceId: string; version: number },
  { reason, ...correction }: AbsenceCorrection,
): Promise<void> {
  const { zone } = await heldMonitor(tx, act, of.deviceId)
  const was = await absenceToChange(tx, of)
  const said = Object.fromEntries(Object.entries(correction).filter(([, value]) => value !== undefined))
  const now: AbsenceRow = { ...was, ...said }
  refuse(backwards(now, localDayOf(act.now, zone)))
  refuse(await twice(tx, now))
  await updateAbsence(tx, was.id, now)
  const version = was.version + 1
  const fields = Object.keys(said)
  await recordWrite(tx, act, { action: 'correct', noun: 'absence', id: was.id, version, fields, was, reason })
}

/** Takes out a time away that was entered wrongly. */
export async function voidAbsence(
  tx: Tx,
  act: Act,
  of: { deviceId: string; absenceId: string; version: number },
  reason: string,
): Promise<void> {
  await heldMonitor(tx, act, of.deviceId)
  const was = await absenceToChange(tx, of)
  await markAbsenceVoided(tx, act.now, was.id, reason)
  await recordWrite(tx, act, { action: 'void', noun: 'absence', id: was.id, version: was.version + 1, was, reason })
}

async function heldMonitor(tx: Tx, act: Act, deviceId: string): Promise<MonitorFacts> {
  const [monitor] = await heldMonitors(tx, act, [deviceId])
  if (!monitor) throw notFound('monitor')
  return monitor
}

async function absenceToChange(tx: Tx, of: { deviceId: string; absenceId: string; version: number }) {
  const absence = await readAbsence(tx, of.deviceId, of.absenceId)
  if (absence.voidedAt !== null) throw notFound('absence')
  if (absence.version !== of.version) throw stale(absence.version)
  return absence
}

type Going = Pick<AbsenceRow, 'kind' | 'fromOn' | 'expectedBackOn'>

// What stands at a home is picked up first; what is lost may well have been lost there.
function stillStanding({ stays, name, zone }: MonitorFacts, { kind, fromOn }: Going, now: number): Fault[] {
  const stay = stays.at(-1)
  if (!stay || kind === 'lost' || fromOn > localDayOf(now, zone)) return []
  const since = localDayOf(stay.since, stay.zone)
  const detail = `${name} stands at ${stay.home ?? 'a home'} since ${since}: say first when it was picked up there`
  return [{ pointer: '/fromOn', code: 'device-elsewhere', detail }]
}

function promised({ bookings, name, zone }: MonitorFacts, { kind, fromOn, expectedBackOn }: Going): Fault[] {
  if (kind === 'lost') return []
  const until = expectedBackOn ?? '9999-12-31'
  const booking = bookings.find(one => localDayOf(one.from, zone) < until && localDayOf(one.until, zone) >= fromOn)
  if (!booking) return []
  const days = `${localDayOf(booking.from, zone)} to ${localDayOf(booking.until, zone)}`
  const detail = `${name} is booked for ${booking.home ?? 'a home'} from ${days}: end that booking first, or have it back before`
  return [{ pointer: '/expectedBackOn', code: 'device-booked', detail }]
}

function backwards({ fromOn, expectedBackOn, backOn }: AbsenceRow, today: LocalDay): Fault[] {
  const faults = Object.entries({ expectedBackOn, backOn })
    .filter(([, day]) => day !== null && day < fromOn)
    .map(([name]) => ({ pointer: `/${name}`, code: 'out-of-order', detail: 'lies before it went: correct the day' }))
  if (backOn === null || backOn <= today) return faults
  const detail = 'lies in the future: say when it is expected, and that it is back when it is'
  return [...faults, { pointer: '/backOn', code: 'in-the-future', detail }]
}

async function twice(tx: Tx, absence: Pick<AbsenceRow, 'id' | 'deviceId' | 'fromOn' | 'backOn'>): Promise<Fault[]> {
  const other = await absenceOverlapping(tx, absence)
  if (!other) return []
  const back = other.backOn ?? 'nobody has said that it is back'
  const detail = `It is away already from ${other.fromOn} (${other.kind}; ${back}): say first when it was back`
  return [{ pointer: '/fromOn', code: 'away-already', detail }]
}

function refuse(faults: readonly Fault[]): void {
  if (faults.length > 0)
    throw problem(422, 'impossible', 'The monitor cannot go away like this; nothing was saved.', faults)
}
