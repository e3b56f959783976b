import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import { hasRole } from '../../platform/auth/actor.ts'
import type { Deps } from '../../platform/deps.ts'
import { formKey, page } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { dateReadingFor, type TypedFields, textIn } from '../../web/typed-fields.ts'
import { DeviceForm, DevicesView, DeviceView } from './device-views.tsx'
import { deviceLines } from './page-queries.ts'
import { readDevice } from './queries.ts'
import { readCalibrationForm, readDeviceForm } from './read-device-form.ts'
import { addCalibration, recordDevice } from './record-device.ts'
import { nameOf } from './words.ts'

const config = { page: ['owner', 'office', 'crew'] as const }
const office = { page: ['owner', 'office'] as const }
const params = z.strictObject({ id: z.uuid() })

export const devicesPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.devices(), { config }, async (request, reply) => {
      const [{ frame, zone }, lines] = await Promise.all([pageFacts(request), deviceLines(db)])
      return page(
        reply,
        <Frame {...frame} title="Devices" place="devices" wide>
          <DevicesView {...{ lines, zone }} today={localDayOf(request.now, zone)} mayAdd={mayChange(request)} />
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
      devicePage(request, reply, request.params.id, {}),
    )

    app.post(
      paths.deviceStep(':id', 'calibrations'),
      { config: office, schema: { params } },
      async (request, reply) => {
        const typed = request.body as TypedFields
        const { id } = request.params
        const read = readCalibrationForm(typed, await companyReading(request))
        if (!read.ok) return devicePage(request, reply, id, typed, read.faults)
        return submitting(request, reply, async tx => {
          await addCalibration(tx, act(request), id, read.value)
          return paths.device(id)
        })
      },
    )

    async function devicePage(
      request: FastifyRequest,
      reply: FastifyReply,
      id: string,
      typed: TypedFields,
      faults: readonly FieldFault[] = [],
    ) {
      const [{ frame, zone }, device] = await Promise.all([pageFacts(request), readDevice(db, id)])
      if (faults.length) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title={nameOf(device)} place="devices" faulty={faults.length > 0}>
          <DeviceView
            {...{ device, typed, faults, csrf: frame.csrf, formKey: textIn(typed, '_key') || formKey() }}
            today={localDayOf(request.now, zone)}
            mayChange={mayChange(request)}
          />
        </Frame>,
      )
    }
  }

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
