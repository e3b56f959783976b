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
import { type FieldFault, faultsFrom } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { dateReadingFor, type TypedFields, textIn } from '../../web/typed-fields.ts'
import { absencesOf } from './absence-queries.ts'
import { bookingPages } from './booking-pages.tsx'
import { chasePages } from './chase-pages.tsx'
import { kitsOfLot } from './chase-queries.ts'
import { DeviceForm } from './device-form.tsx'
import type { DeviceViewProps } from './device-props.ts'
import { DeviceView } from './device-view.tsx'
import { DevicesView } from './devices-view.tsx'
import { homeDevicesPages } from './home-devices-pages.tsx'
import { kitPages } from './kit-pages.tsx'
import { lotLines } from './page-queries.ts'
import { readDevice } from './queries.ts'
import { readAwayForm, readBackForm, readCalibrationForm, readDeviceForm } from './read-device-form.ts'
import { addCalibration, recordDevice } from './record-device.ts'
import { correctAbsence, sendAway } from './send-away.ts'
import { nameOf } from './words.ts'

const config = { page: ['owner', 'office', 'crew'] as const }
const office = { page: ['owner', 'office'] as const }
const params = z.strictObject({ id: z.uuid() })
const ofAbsence = z.strictObject({ id: z.uuid(), absenceId: z.uuid() })

export const devicesPages =
  (deps: Deps): FastifyPluginAsyncZod =>
  async app => {
    const { db } = deps
    await app.register(chasePages(deps))
    await app.register(homeDevicesPages(deps))
    await app.register(bookingPages(deps))
    await app.register(kitPages(deps))

    app.get(paths.devices(), { config }, async (request, reply) => {
      const who = act(request)
      const [{ frame, zone }, monitors, lots] = await Promise.all([
        pageFacts(request),
        monitorFacts(db, who),
        lotLines(db),
      ])
      return page(
        reply,
        <Frame {...frame} title="Devices" place="devices" wide>
          <DevicesView {...{ monitors, lots, zone }} now={request.now} mayChange={mayChange(request)} />
        </Frame>,
      )
    })

    app.get(paths.newDevice(), { config: office }, async (request, reply) => newDevicePage(request, reply, {}))

    app.post(paths.newDevice(), { config: office }, async (request, reply) => {
      const typed = request.body as TypedFields
      const read = readDeviceForm(typed, await companyReading(request))
      if (!read.ok) return newDevicePage(request, reply, typed, read.faults)
      return submitting(request, reply, async tx => paths.device(await recordDevice(tx, act(request), read.value)))
    })

    app.get(paths.device(':id'), { config, schema: { params } }, async (request, reply) =>
      devicePage(request, reply, request.params.id),
    )

    app.post(
      paths.deviceStep(':id', 'calibrations'),
      { config: office, schema: { params } },
      async (request, reply) => {
        const typed = request.body as TypedFields
        const { id } = request.params
        const read = readCalibrationForm(typed, await companyReading(request))
        if (!read.ok) return devicePage(request, reply, id, { came: 'calibrations', typed, faults: read.faults })
        return submitting(request, reply, async tx => {
          await addCalibration(tx, act(request), id, read.value)
          return paths.device(id)
        })
      },
    )

    app.post(paths.deviceStep(':id', 'away'), { config: office, schema: { params } }, async (request, reply) => {
      const typed = request.body as TypedFields
      const { id } = request.params
      const read = readAwayForm(typed, await companyReading(request))
      if (!read.ok) return devicePage(request, reply, id, { came: 'away', typed, faults: read.faults })
      const sent = await withFieldProblems(() =>
        submitting(request, reply, async tx => {
          await sendAway(tx, act(request), id, read.value)
          return paths.device(id)
        }),
      )
      if (sent.ok) return reply
      return devicePage(request, reply, id, { came: 'away', typed, faults: faultsFrom(sent.problems) })
    })

    app.post(
      paths.absenceStep(':id', ':absenceId', 'back'),
      { config: office, schema: { params: ofAbsence } },
      async (request, reply) => {
        const typed = request.body as TypedFields
        const { id, absenceId } = request.params
        const version = Number(textIn(typed, 'version'))
        const read = readBackForm(typed, await companyReading(request))
        if (!read.ok) return devicePage(request, reply, id, { came: 'away', typed, faults: read.faults })
        const back = await withFieldProblems(() =>
          db.transaction(tx => correctAbsence(tx, act(request), { deviceId: id, absenceId, version }, read.value)),
        )
        if (back.ok) return reply.redirect(paths.device(id), 303)
        return devicePage(request, reply, id, { came: 'away', typed, faults: faultsFrom(back.problems) })
      },
    )

    async function devicePage(request: FastifyRequest, reply: FastifyReply, id: string, form: CameBack = asItIs) {
      const who = act(request)
      const [{ frame, zone }, device, [monitor = null], absences, kits] = await Promise.all([
        pageFacts(request),
        readDevice(db, id),
        monitorFacts(db, who, [id]),
        absencesOf(db, id),
        kitsOfLot(db, who, id),
      ])
      const { came, typed, faults } = form
      if (faults.length) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title={nameOf(device)} place="devices" faulty={faults.length > 0} wide={kits.length > 0}>
          <DeviceView
            {...{ device, monitor, absences, kits, came, typed, faults, zone, csrf: frame.csrf }}
            formKey={textIn(typed, '_key') || formKey()}
            now={request.now}
            mayChange={mayChange(request)}
          />
        </Frame>,
      )
    }
  }

/** A form of the page that came back with faults. */
type CameBack = Pick<DeviceViewProps, 'came' | 'typed' | 'faults'>
const asItIs: CameBack = { came: null, typed: {}, faults: [] }

const mayChange = (request: FastifyRequest) => hasRole(act(request).actor, 'owner', 'office')

const companyReading = async (request: FastifyRequest) => dateReadingFor(await pageFacts(request), request.now)

async function newDevicePage(
  request: FastifyRequest,
  reply: FastifyReply,
  typed: TypedFields,
  faults: readonly FieldFault[] = [],
) {
  const { frame } = await pageFacts(request)
  if (faults.length) reply.code(422)
  return page(
    reply,
    <Frame {...frame} title="Record a device" place="devices" faulty={faults.length > 0}>
      <h1>Record a device</h1>
      <DeviceForm {...{ typed, faults, csrf: frame.csrf }} formKey={textIn(typed, '_key') || formKey()} />
    </Frame>,
  )
}
