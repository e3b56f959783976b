import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../../platform/deps.ts'
import { ifMatch, tagged } from '../../platform/http/etag.ts'
import { creating } from '../../platform/http/idempotency.ts'
import { listed, readCursor } from '../../platform/http/listed.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id, instantText, instantTextOrNull } from '../../platform/http/scalars.ts'
import { bookMonitor, endBooking } from './book-monitor.ts'
import { type BookingRow, listBookings, readBooking } from './booking-queries.ts'
import { bookingChange, bookingList, bookingListQuery, bookingOut, newBooking } from './booking-schemas.ts'
import { moveBooking } from './move-booking.ts'
import { voiding } from './schemas.ts'

const tags = ['devices']
const params = z.strictObject({ id })
const read = { scope: 'devices:read' }
const write = { scope: 'devices:write' }

const presentBooking = (booking: BookingRow): z.output<typeof bookingOut> => ({
  id: booking.id,
  deviceId: booking.deviceId,
  propertyId: booking.propertyId,
  from: instantText(booking.from),
  until: instantText(booking.until),
  endedAt: instantTextOrNull(booking.endedAt),
  note: booking.note,
  version: booking.version,
  createdAt: instantText(booking.createdAt),
  voidedAt: instantTextOrNull(booking.voidedAt),
  voidReason: booking.voidReason,
})

/** Which monitor is promised to which home, and when. */
export const bookingRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      '/bookings',
      {
        config: read,
        schema: {
          operationId: 'listBookings',
          summary: 'Bookings of monitors, newest first',
          tags,
          querystring: bookingListQuery,
          response: { 200: bookingList },
        },
      },
      async (request, reply) => {
        const { limit, propertyId, deviceId } = request.query
        const before = readCursor(request)?.[0] as string | undefined
        const rows = await listBookings(db, act(request), { propertyId, deviceId, before, limit })
        return listed(request, reply, { rows, limit, cursor: one => [one.id], present: presentBooking })
      },
    )

    app.get(
      '/bookings/:id',
      {
        config: read,
        schema: {
          operationId: 'readBooking',
          summary: 'One booking of a monitor',
          tags,
          params,
          response: { 200: bookingOut },
        },
      },
      async (request, reply) => {
        const booking = await readBooking(db, act(request), request.params.id)
        return tagged(request, reply, booking.version, presentBooking(booking))
      },
    )

    app.post(
      '/properties/:id/bookings',
      {
        config: write,
        schema: {
          operationId: 'bookMonitor',
          summary: 'Promise a monitor to a home for a test to come',
          description:
            'Refused (422) when the monitor is elsewhere, booked, away, lost, out of use, or out of calibration before the end: the error says which, and what to do.',
          tags,
          params,
          body: newBooking,
          response: { 201: bookingOut },
        },
      },
      async (request, reply) =>
        creating(request, reply, async tx => {
          const bookingId = await bookMonitor(tx, act(request), request.params.id, request.body)
          const body = presentBooking(await readBooking(tx, act(request), bookingId))
          return { location: `/v1/bookings/${bookingId}`, version: 1, body }
        }),
    )

    app.patch(
      '/bookings/:id',
      {
        config: write,
        schema: {
          operationId: 'moveBooking',
          summary: 'Move a booking to another time, home or monitor',
          description:
            'In one step, so that nobody else takes the monitor in between. Refused (422) as a new booking is; what the booking was stays in the history.',
          tags,
          params,
          body: bookingChange,
          response: { 200: bookingOut },
        },
      },
      async (request, reply) => {
        const version = ifMatch(request)
        const booking = await db.transaction(async tx => {
          await moveBooking(tx, act(request), request.params.id, version, request.body)
          return readBooking(tx, act(request), request.params.id)
        })
        return tagged(request, reply, booking.version, presentBooking(booking))
      },
    )

    app.post(
      '/bookings/:id/void',
      {
        config: write,
        schema: {
          operationId: 'endBooking',
          summary: 'Take a booking out: the monitor is free for that time again',
          tags,
          params,
          body: voiding,
          response: { 200: bookingOut },
        },
      },
      async (request, reply) => {
        const version = ifMatch(request)
        const booking = await db.transaction(async tx => {
          await endBooking(tx, act(request), request.params.id, version, request.body.reason)
          return readBooking(tx, act(request), request.params.id)
        })
        return tagged(request, reply, booking.version, presentBooking(booking))
      },
    )
  }
