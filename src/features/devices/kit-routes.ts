import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../../platform/deps.ts'
import { ifMatch, tagged } from '../../platform/http/etag.ts'
import { creating } from '../../platform/http/idempotency.ts'
import { listed, readCursor } from '../../platform/http/listed.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id, instantText, instantTextOrNull } from '../../platform/http/scalars.ts'
import { type KitRow, listKits, readKit } from './kit-queries.ts'
import { kitCorrection, kitList, kitListQuery, kitOut, newKit } from './kit-schemas.ts'
import { knownOfKit, stateOfKit } from './known-of-kit.ts'
import { correctKit, leaveKit, voidKit } from './leave-kit.ts'
import { voiding } from './schemas.ts'

const tags = ['devices']
const params = z.strictObject({ id })
const read = { scope: 'devices:read' }
const write = { scope: 'devices:write' }
const tagOfKit = (kit: KitRow) => (kit.test ? `${kit.version}.${stateOfKit(kit)}` : kit.version)

const presentKit = (kit: KitRow): z.output<typeof kitOut> => {
  const known = knownOfKit(kit)
  return {
    id: kit.id,
    deviceId: kit.deviceId,
    number: kit.number,
    propertyId: kit.propertyId,
    locationId: kit.locationId,
    customerId: kit.customerId,
    leftWith: kit.leftWith,
    purpose: kit.purpose,
    leftOn: kit.leftOn,
    exposedFrom: known.exposedFrom,
    exposedTo: known.exposedTo,
    postedOn: known.postedOn,
    answeredOn: known.answeredOn,
    returnedOn: kit.returnedOn,
    lostOn: kit.lostOn,
    state: stateOfKit(kit),
    testId: kit.test?.id ?? null,
    note: kit.note,
    version: kit.version,
    createdAt: instantText(kit.createdAt),
    updatedAt: instantText(kit.updatedAt),
    voidedAt: instantTextOrNull(kit.voidedAt),
    voidReason: kit.voidReason,
  }
}

/** Mail-in kits, one by one. */
export const kitRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      '/kits',
      {
        config: read,
        schema: {
          operationId: 'listKits',
          summary: 'Mail-in kits that were left somewhere, newest first',
          tags,
          querystring: kitListQuery,
          response: { 200: kitList },
        },
      },
      async (request, reply) => {
        const { limit, propertyId, deviceId } = request.query
        const before = readCursor(request)?.[0] as string | undefined
        const rows = await listKits(db, act(request), { propertyId, deviceId, before, limit })
        return listed(request, reply, { rows, limit, cursor: kit => [kit.id], present: presentKit })
      },
    )

    app.get(
      '/kits/:id',
      {
        config: read,
        schema: { operationId: 'readKit', summary: 'One mail-in kit', tags, params, response: { 200: kitOut } },
      },
      async (request, reply) => {
        const kit = await readKit(db, act(request), request.params.id)
        return tagged(request, reply, tagOfKit(kit), presentKit(kit))
      },
    )

    app.post(
      '/properties/:id/kits',
      {
        config: write,
        schema: {
          operationId: 'leaveKit',
          summary: 'Leave a kit of a lot at a home',
          tags,
          params,
          body: newKit,
          response: { 201: kitOut },
        },
      },
      async (request, reply) =>
        creating(request, reply, async tx => {
          const kitId = await leaveKit(tx, act(request), request.params.id, request.body)
          const kit = await readKit(tx, act(request), kitId)
          return { location: `/v1/kits/${kitId}`, etag: String(tagOfKit(kit)), body: presentKit(kit) }
        }),
    )

    app.patch(
      '/kits/:id',
      {
        config: write,
        schema: {
          operationId: 'correctKit',
          summary: 'What is said of a kit: its days, posted, unused, lost',
          tags,
          params,
          body: kitCorrection,
          response: { 200: kitOut },
        },
      },
      async (request, reply) => {
        const version = ifMatch(request)
        const kit = await db.transaction(async tx => {
          await correctKit(tx, act(request), request.params.id, version, request.body)
          return readKit(tx, act(request), request.params.id)
        })
        return tagged(request, reply, tagOfKit(kit), presentKit(kit))
      },
    )

    app.post(
      '/kits/:id/void',
      {
        config: write,
        schema: {
          operationId: 'voidKit',
          summary: 'Take out a kit that was entered wrongly',
          tags,
          params,
          body: voiding,
          response: { 200: kitOut },
        },
      },
      async (request, reply) => {
        const version = ifMatch(request)
        const kit = await db.transaction(async tx => {
          await voidKit(tx, act(request), request.params.id, version, request.body.reason)
          return readKit(tx, act(request), request.params.id)
        })
        return tagged(request, reply, tagOfKit(kit), presentKit(kit))
      },
    )
  }
