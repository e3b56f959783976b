import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { hasRole } from '../../platform/auth/actor.ts'
import type { Deps } from '../../platform/deps.ts'
import { formKey, page, withFieldProblems } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { act } from '../../platform/http/request-facts.ts'
import { monitorFacts } from '../../standing/monitor-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { seenHome } from '../../standing/seen-home.ts'
import { type FieldFault, faultsFrom } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { dateReadingFor, type TypedFields, textIn } from '../../web/typed-fields.ts'
import { bookMonitor, endBooking } from './book-monitor.ts'
import { readBooking } from './booking-queries.ts'
import { kitsOfHome } from './chase-queries.ts'
import { EndBookingForm, HomeDevicesView } from './home-devices-view.tsx'
import { leaveKit } from './leave-kit.ts'
import { homeDeviceChoices } from './page-queries.ts'
import { readBookingForm, readKitForm } from './read-home-form.ts'

const config = { page: ['owner', 'office', 'crew'] as const }
const office = { page: ['owner', 'office'] as const }
const params = z.strictObject({ id: z.uuid() })

/** What stands, is promised or was left at a home; booking a monitor for it and leaving a kit there. */
export const homeDevicesPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.homeDevices(':id'), { config, schema: { params } }, async (request, reply) =>
      homePage(request, reply, request.params.id),
    )

    app.post(paths.bookMonitor(':id'), { config: office, schema: { params } }, async (request, reply) => {
      const typed = request.body as TypedFields
      const { id } = request.params
      const read = readBookingForm(typed, await readingAt(request, id))
      if (!read.ok) return homePage(request, reply, id, { came: 'booking', typed, faults: read.faults })
      const booked = await withFieldProblems(() =>
        submitting(request, reply, async tx => {
          await bookMonitor(tx, act(request), id, read.value)
          return paths.homeDevices(id)
        }),
      )
      if (booked.ok) return reply
      const fields = { until: 'until', deviceId: 'deviceId' }
      return homePage(request, reply, id, { came: 'booking', typed, faults: renamed(booked.problems, fields) })
    })

    app.post(paths.leaveKit(':id'), { config, schema: { params } }, async (request, reply) => {
      const typed = request.body as TypedFields
      const { id } = request.params
      const read = readKitForm(typed, await readingAt(request, id))
      if (!read.ok) return homePage(request, reply, id, { came: 'kit', typed, faults: read.faults })
      const left = await withFieldProblems(() =>
        submitting(request, reply, async tx => paths.kit(await leaveKit(tx, act(request), id, read.value))),
      )
      if (left.ok) return reply
      return homePage(request, reply, id, {
        came: 'kit',
        typed,
        faults: renamed(left.problems, { deviceId: 'lot', customerId: 'person', locationId: 'room' }),
      })
    })

    app.get(paths.bookingStep(':id', 'end'), { config: office, schema: { params } }, async (request, reply) =>
      endPage(request, reply, request.params.id),
    )

    app.post(paths.bookingStep(':id', 'end'), { config: office, schema: { params } }, async (request, reply) => {
      const typed = request.body as TypedFields
      const { id } = request.params
      const reason = textIn(typed, 'reason')
      if (!reason)
        return endPage(request, reply, id, [{ name: 'reason', message: 'Say why: the reason stays in the history' }])
      const { deviceId } = await readBooking(db, act(request), id)
      await db.transaction(tx => endBooking(tx, act(request), id, Number(textIn(typed, 'version')), reason))
      return reply.redirect(paths.device(deviceId), 303)
    })

    async function readingAt(request: FastifyRequest, homeId: string) {
      await seenHome(db, act(request), homeId)
      return dateReadingFor(await homeDeviceChoices(db, homeId), request.now)
    }

    async function homePage(request: FastifyRequest, reply: FastifyReply, homeId: string, form: CameBack = asItIs) {
      const who = act(request)
      await seenHome(db, who, homeId)
      const [{ frame }, home, monitors, kits] = await Promise.all([
        pageFacts(request),
        homeDeviceChoices(db, homeId),
        monitorFacts(db, who),
        kitsOfHome(db, who, homeId),
      ])
      const { came, typed, faults } = form
      if (faults.length) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="Devices here" home={home.address} place="homes" faulty={faults.length > 0}>
          <HomeDevicesView
            {...{ home, monitors, kits, came, typed, faults, now: request.now, csrf: frame.csrf }}
            formKey={textIn(typed, '_key') || formKey()}
            mayBook={hasRole(who.actor, 'owner', 'office')}
          />
        </Frame>,
      )
    }

    async function endPage(
      request: FastifyRequest,
      reply: FastifyReply,
      id: string,
      faults: readonly FieldFault[] = [],
    ) {
      const [{ frame }, booking] = await Promise.all([pageFacts(request), readBooking(db, act(request), id)])
      if (faults.length) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="End a booking" place="devices" faulty={faults.length > 0}>
          <EndBookingForm booking={booking} csrf={frame.csrf} faults={faults} />
        </Frame>,
      )
    }
  }

type CameBack = {
  readonly came: 'booking' | 'kit' | null
  readonly typed: TypedFields
  readonly faults: readonly FieldFault[]
}
const asItIs: CameBack = { came: null, typed: {}, faults: [] }

const renamed = (problems: Parameters<typeof faultsFrom>[0], fields: Readonly<Record<string, string>>) =>
  faultsFrom(problems).map(fault => ({ ...fault, name: fields[fault.name] ?? fault.name }))
