import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../../platform/deps.ts'
import { ifMatch, tagged, taggedByContent } from '../../platform/http/etag.ts'
import { creating } from '../../platform/http/idempotency.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id, instantText, instantTextOrNull } from '../../platform/http/scalars.ts'
import { type AbsenceRow, absencesOf, readAbsence } from './absence-queries.ts'
import { absenceCorrection, absenceList, absenceOut, newAbsence } from './absence-schemas.ts'
import { readDevice } from './queries.ts'
import { voiding } from './schemas.ts'
import { correctAbsence, sendAway, voidAbsence } from './send-away.ts'

const tags = ['devices']
const params = z.strictObject({ id })
const ofDevice = z.strictObject({ id, absenceId: id })
const write = { scope: 'devices:write' }

const presentAbsence = (absence: AbsenceRow): z.output<typeof absenceOut> => ({
  id: absence.id,
  deviceId: absence.deviceId,
  kind: absence.kind,
  fromOn: absence.fromOn,
  expectedBackOn: absence.expectedBackOn,
  backOn: absence.backOn,
  place: absence.place,
  note: absence.note,
  version: absence.version,
  createdAt: instantText(absence.createdAt),
  voidedAt: instantTextOrNull(absence.voidedAt),
  voidReason: absence.voidReason,
})

/** When a monitor was, is or will be away: calibration, repair, lent, lost. */
export const absenceRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      '/devices/:id/absences',
      {
        config: { scope: 'devices:read' },
        schema: {
          operationId: 'listAbsences',
          summary: 'When a monitor was, is or will be away, newest first',
          tags,
          params,
          response: { 200: absenceList },
        },
      },
      async (request, reply) => {
        const device = await readDevice(db, request.params.id)
        return taggedByContent(request, reply, { items: (await absencesOf(db, device.id)).map(presentAbsence) })
      },
    )

    app.post(
      '/devices/:id/absences',
      {
        config: write,
        schema: {
          operationId: 'sendMonitorAway',
          summary: 'A monitor goes away: calibration, repair, lent, lost',
          tags,
          params,
          body: newAbsence,
          response: { 201: absenceOut },
        },
      },
      async (request, reply) =>
        creating(request, reply, async tx => {
          const deviceId = request.params.id
          const absenceId = await sendAway(tx, act(request), deviceId, request.body)
          const body = presentAbsence(await readAbsence(tx, deviceId, absenceId))
          return { location: `/v1/devices/${deviceId}/absences/${absenceId}`, version: 1, body }
        }),
    )

    app.get(
      '/devices/:id/absences/:absenceId',
      {
        config: { scope: 'devices:read' },
        schema: {
          operationId: 'readAbsence',
          summary: 'One time that a monitor was, is or will be away',
          tags,
          params: ofDevice,
          response: { 200: absenceOut },
        },
      },
      async (request, reply) => {
        const absence = await readAbsence(db, request.params.id, request.params.absenceId)
        return tagged(request, reply, absence.version, presentAbsence(absence))
      },
    )

    app.patch(
      '/devices/:id/absences/:absenceId',
      {
        config: write,
        schema: {
          operationId: 'correctAbsence',
          summary: 'It is back, or expected on another day',
          tags,
          params: ofDevice,
          body: absenceCorrection,
          response: { 200: absenceOut },
        },
      },
      async (request, reply) => {
        const { id: deviceId, absenceId } = request.params
        const version = ifMatch(request)
        const absence = await db.transaction(async tx => {
          await correctAbsence(tx, act(request), { deviceId, absenceId, version }, request.body)
          return readAbsence(tx, deviceId, absenceId)
        })
        return tagged(request, reply, absence.version, presentAbsence(absence))
      },
    )

    app.post(
      '/devices/:id/absences/:absenceId/void',
      {
        config: write,
        schema: {
          operationId: 'voidAbsence',
          summary: 'Take out a time away that was entered wrongly',
          tags,
          params: ofDevice,
          body: voiding,
          response: { 200: absenceOut },
        },
      },
      async (request, reply) => {
        const { id: deviceId, absenceId } = request.params
        const version = ifMatch(request)
        const absence = await db.transaction(async tx => {
          await voidAbsence(tx, act(request), { deviceId, absenceId, version }, request.body.reason)
          return readAbsence(tx, deviceId, absenceId)
        })
        return tagged(request, reply, absence.version, presentAbsence(absence))
      },
    )
  }
