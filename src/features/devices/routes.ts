import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../../platform/deps.ts'
import { ifMatch, tagged } from '../../platform/http/etag.ts'
import { creating } from '../../platform/http/idempotency.ts'
import { listed, readCursor } from '../../platform/http/listed.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import { absenceRoutes } from './absence-routes.ts'
import { bookingRoutes } from './booking-routes.ts'
import { chaseRoutes } from './chase-routes.ts'
import { kitLimitRoutes } from './kit-limit-routes.ts'
import { kitRoutes } from './kit-routes.ts'
import { presentDevice } from './present.ts'
import { listDevices, readDevice } from './queries.ts'
import { addCalibration, correctDevice, recordDevice, voidCalibration, voidDevice } from './record-device.ts'
import {
  deviceCorrection,
  deviceList,
  deviceListQuery,
  deviceOut,
  newCalibration,
  newDevice,
  voiding,
} from './schemas.ts'
import { whereaboutsRoutes } from './whereabouts-routes.ts'

const tags = ['devices']
const params = z.strictObject({ id })
const write = { scope: 'devices:write' }

export const devicesRoutes =
  (deps: Deps): FastifyPluginAsyncZod =>
  async app => {
    const { db } = deps
    await app.register(whereaboutsRoutes(deps))
    await app.register(bookingRoutes(deps))
    await app.register(absenceRoutes(deps))
    await app.register(kitRoutes(deps))
    await app.register(kitLimitRoutes(deps))
    await app.register(chaseRoutes(deps))
    app.get(
      '/devices',
      {
        config: { scope: 'devices:read' },
        schema: {
          operationId: 'listDevices',
          summary: 'Radon monitors and lots of kits, newest first',
          tags,
          querystring: deviceListQuery,
          response: { 200: deviceList },
        },
      },
      async (request, reply) => {
        const { limit, kind } = request.query
        const before = readCursor(request)?.[0] as string | undefined
        const rows = await listDevices(db, { kind, before, limit })
        return listed(request, reply, { rows, limit, cursor: device => [device.id], present: presentDevice })
      },
    )

    app.post(
      '/devices',
      {
        config: write,
        schema: {
          operationId: 'recordDevice',
          summary: 'Record a radon monitor or a lot of kits',
          tags,
          body: newDevice,
          response: { 201: deviceOut },
        },
      },
      async (request, reply) =>
        creating(request, reply, async tx => {
          const deviceId = await recordDevice(tx, act(request), request.body)
          return {
            location: `/v1/devices/${deviceId}`,
            version: 1,
            body: presentDevice(await readDevice(tx, deviceId)),
          }
        }),
    )

    app.get(
      '/devices/:id',
      {
        config: { scope: 'devices:read' },
        schema: {
          operationId: 'readDevice',
          summary: 'One device with its calibrations',
          tags,
          params,
          response: { 200: deviceOut },
        },
      },
      async (request, reply) => {
        const device = await readDevice(db, request.params.id)
        return tagged(request, reply, device.version, presentDevice(device))
      },
    )

    app.patch(
      '/devices/:id',
      {
        config: write,
        schema: {
          operationId: 'correctDevice',
          summary: 'Correct a device; homes measured with it are stood anew',
          tags,
          params,
          body: deviceCorrection,
          response: { 200: deviceOut },
        },
      },
      async (request, reply) => {
        const version = ifMatch(request)
        const device = await db.transaction(async tx => {
          await correctDevice(tx, act(request), request.params.id, version, request.body)
          return readDevice(tx, request.params.id)
        })
        return tagged(request, reply, device.version, presentDevice(device))
      },
    )

    app.post(
      '/devices/:id/void',
      {
        config: write,
        schema: {
          operationId: 'voidDevice',
          summary: 'Take out a device that was entered wrongly',
          tags,
          params,
          body: voiding,
          response: { 200: deviceOut },
        },
      },
      async (request, reply) => {
        const version = ifMatch(request)
        const device = await db.transaction(async tx => {
          await voidDevice(tx, act(request), request.params.id, version, request.body.reason)
          return readDevice(tx, request.params.id)
        })
        return tagged(request, reply, device.version, presentDevice(device))
      },
    )

    app.post(
      '/devices/:id/calibrations',
      {
        config: write,
        schema: {
          operationId: 'addCalibration',
          summary: 'Add a calibration; homes measured with the device are stood anew',
          tags,
          params,
          body: newCalibration,
          response: { 201: deviceOut },
        },
      },
      async (request, reply) =>
        creating(request, reply, async tx => {
          await addCalibration(tx, act(request), request.params.id, request.body)
          const device = await readDevice(tx, request.params.id)
          return { location: `/v1/devices/${device.id}`, version: device.version, body: presentDevice(device) }
        }),
    )

    app.post(
      '/devices/:id/calibrations/:calibrationId/void',
      {
        config: write,
        schema: {
          operationId: 'voidCalibration',
          summary: 'Take out a calibration that was entered wrongly',
          tags,
          params: z.strictObject({ id, calibrationId: id }),
          body: voiding,
          response: { 200: deviceOut },
        },
      },
      async (request, reply) => {
        const version = ifMatch(request)
        const { id: deviceId, calibrationId } = request.params
        const device = await db.transaction(async tx => {
          const calibration = { id: calibrationId, reason: request.body.reason }
          await voidCalibration(tx, act(request), deviceId, version, calibration)
          return readDevice(tx, deviceId)
        })
        return tagged(request, reply, device.version, presentDevice(device))
      },
    )
  }
