import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../../platform/deps.ts'
import { page, withFieldProblems } from '../../platform/http/forms.ts'
import { act } from '../../platform/http/request-facts.ts'
import { monitorFacts } from '../../standing/monitor-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { type FieldFault, faultsFrom } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { dateReadingFor, type TypedFields, textIn } from '../../web/typed-fields.ts'
import { type BookingRow, bookingBefore, readBooking } from './booking-queries.ts'
import { BookingView } from './booking-view.tsx'
import { moveBooking } from './move-booking.ts'
import { homeDeviceChoices } from './page-queries.ts'
import { readMoveForm, typedBooking } from './read-home-form.ts'

const config = { page: ['owner', 'office'] as const }
const params = z.strictObject({ id: z.uuid() })

/** One booking of a monitor, and moving it in one step. */
export const bookingPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.bookingStep(':id', 'move'), { config, schema: { params } }, async (request, reply) => {
      const booking = await readBooking(db, act(request), request.params.id)
      const { zone } = await homeDeviceChoices(db, booking.propertyId)
      return bookingPage(request, reply, booking, typedBooking(booking, zone))
    })

    app.post(paths.bookingStep(':id', 'move'), { config, schema: { params } }, async (request, reply) => {
      const typed = request.body as TypedFields
      const booking = await readBooking(db, act(request), request.params.id)
      const home = await homeDeviceChoices(db, booking.propertyId)
      const read = readMoveForm(typed, typedBooking(booking, home.zone), dateReadingFor(home, request.now))
      if (!read.ok) return bookingPage(request, reply, booking, typed, read.faults)
      const version = Number(textIn(typed, 'version'))
      const moved = await withFieldProblems(() =>
        db.transaction(tx => moveBooking(tx, act(request), booking.id, version, read.value)),
      )
      if (!moved.ok) return bookingPage(request, reply, booking, typed, faultsFrom(moved.problems))
      return reply.redirect(paths.bookingStep(booking.id, 'move'), 303)
    })

    async function bookingPage(
      request: FastifyRequest,
      reply: FastifyReply,
      booking: BookingRow,
      typed: TypedFields,
      faults: readonly FieldFault[] = [],
    ) {
      const [{ frame }, home, monitors, before] = await Promise.all([
        pageFacts(request),
        homeDeviceChoices(db, booking.propertyId),
        monitorFacts(db, act(request)),
        bookingBefore(db, booking.id),
      ])
      if (faults.length) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="Booking of a monitor" home={home.address} place="devices" faulty={faults.length > 0}>
          <BookingView {...{ booking, before, home, monitors, typed, faults, now: request.now, csrf: frame.csrf }} />
        </Frame>,
      )
    }
  }
