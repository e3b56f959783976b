import type { Instant } from '../../domain/facts.ts'
import { seen, seenSql } from '../../platform/auth/seen.ts'
import { at, type Db, sql, type Tx } from '../../platform/db/client.ts'
import { listStatement } from '../../platform/db/list-statement.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { notFound } from '../../platform/http/problem.ts'
import { spentBooking } from '../../standing/monitor-facts.ts'

type Who = Pick<Act, 'actor' | 'now'>

export type BookingRow = {
  id: string
  deviceId: string
  propertyId: string
  from: Instant
  until: Instant
  endedAt: Instant | null
  note: string
  version: number
  createdAt: Instant
  voidedAt: Instant | null
  voidReason: string | null
}

const columns = `b.id, b.device_id as "deviceId", b.property_id as "propertyId", b.from_at as "from", b.until_at as "until",
  b.ended_at as "endedAt", b.note, b.version, b.created_at as "createdAt", b.voided_at as "voidedAt",
  b.void_reason as "voidReason"`

const byId = sql(
  'booking-by-id',
  `select ${columns} from device_booking b where b.id = $1 and ${seenSql('b.property_id', 2)}`,
)
/** The booking, or the 404 it shares with those of homes that are not this actor's. */
export async function readBooking(db: Db, who: Who, bookingId: string): Promise<BookingRow> {
  const booking = await db.one<BookingRow>(byId, [bookingId, ...seen(who.actor, who.now)])
  if (!booking) throw notFound('booking')
  return booking
}

/** What a booking was before a change, with why it changed. */
export type BookingBefore = {
  readonly from: Instant
  readonly until: Instant
  readonly monitor: string
  readonly home: string
  readonly reason: string
  readonly changedAt: Instant
}
const before = sql(
  'booking-before',
  `select (r.was->>'from')::bigint as "from", (r.was->>'until')::bigint as until, r.reason, r.at as "changedAt",
     trim(coalesce(nullif(d.model, ''), 'Radon monitor') || ' ' || coalesce(d.serial, '')) as monitor,
     p.street || case when p.unit = '' then '' else ', ' || p.unit end || ', ' || p.city as home
   from fact_revision r join device d on d.id = (r.was->>'deviceId')::uuid
     join property p on p.id = (r.was->>'propertyId')::uuid
   where r.noun = 'booking' and r.noun_id = $1 and r.was ? 'from' order by r.at desc, r.id desc limit 50`,
)
/** What a booking that the caller has already been allowed to see was before, the latest first. */
export const bookingBefore = (db: Db, bookingId: string) => db.rows<BookingBefore>(before, [bookingId])

type BookingFilter = { readonly propertyId?: string; readonly deviceId?: string; readonly before?: string }
const list = listStatement<BookingFilter>(
  'booking-list',
  { limit: 1, taken: 5 },
  {
    propertyId: n => `b.property_id = $${n}`,
    deviceId: n => `b.device_id = $${n}`,
    before: n => `b.id < $${n}`,
  },
  filters =>
    `select ${columns} from device_booking b where ${seenSql('b.property_id', 2)} ${filters} order by b.id desc`,
)
/** Newest first, keyset by id; one more than `limit` tells that more follow. */
export function listBookings(db: Db, who: Who, { limit, ...filter }: BookingFilter & { readonly limit: number }) {
  const { statement, values } = list(filter)
  return db.rows<BookingRow>(statement, [limit + 1, ...seen(who.actor, who.now), ...values])
}

const endSpent = sql(
  'booking-end-spent',
  `update device_booking b set ended_at = $2, version = version + 1
    where b.device_id = $1 and b.ended_at is null and b.voided_at is null and b.until_at > $2 and ${spentBooking('b')}`,
)
/** Frees what is left of bookings whose test has been and gone. */
export const endSpentBookings = (tx: Tx, now: number, deviceId: string) => tx.rows(endSpent, [deviceId, at(now)])

const insert = sql(
  'booking-insert',
  `insert into device_booking (id, device_id, property_id, from_at, until_at, note, created_at)
   values ($1, $2, $3, $4, $5, $6, $7)`,
)
export const insertBooking = (
  tx: Tx,
  now: number,
  booking: Pick<BookingRow, 'id' | 'deviceId' | 'propertyId' | 'from' | 'until' | 'note'>,
) =>
  tx.rows(insert, [
    booking.id,
    booking.deviceId,
    booking.propertyId,
    at(booking.from),
    at(booking.until),
    booking.note,
    at(now),
  ])

const lock = sql(
  'booking-lock',
  `select b.id from device_booking b where b.id = $1 and b.voided_at is null and ${seenSql('b.property_id', 2)} for update`,
)
/** Locks a booking that is to be changed and reads it; a voided one is not there to change. */
export async function lockBooking(tx: Tx, act: Act, bookingId: string): Promise<BookingRow> {
  if (!(await tx.one(lock, [bookingId, ...seen(act.actor, act.now)]))) throw notFound('booking')
  return readBooking(tx, act, bookingId)
}

const update = sql(
  'booking-update',
  `update device_booking set device_id = $2, property_id = $3, from_at = $4, until_at = $5, note = $6,
     version = version + 1 where id = $1`,
)
export const updateBooking = (tx: Tx, booking: BookingRow) =>
  tx.rows(update, [booking.id, booking.deviceId, booking.propertyId, at(booking.from), at(booking.until), booking.note])

const markVoided = sql(
  'booking-void',
  'update device_booking set voided_at = $2, void_reason = $3, version = version + 1 where id = $1',
)
export const markBookingVoided = (tx: Tx, now: number, bookingId: string, reason: string) =>
  tx.rows(markVoided, [bookingId, at(now), reason])
