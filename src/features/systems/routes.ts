import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { auditRead } from '../../platform/db/audit-read.ts'
import type { Deps } from '../../platform/deps.ts'
import { answeredUnchanged, ifMatch, tagged } from '../../platform/http/etag.ts'
import { creating } from '../../platform/http/idempotency.ts'
import { listed, readCursor } from '../../platform/http/listed.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import { correctSystem, voidSystem } from './change-system.ts'
import { installSystem } from './install-system.ts'
import { presentSystem, presentSystemWithStanding } from './present.ts'
import { listSystems, readSystem, systemVersion } from './queries.ts'
import {
  newSystem,
  systemCorrection,
  systemList,
  systemListQuery,
  systemOut,
  systemWithStanding,
  voiding,
} from './schemas.ts'

const tags = ['systems']
const params = z.strictObject({ id })

/** Systems as a whole; their dated parts are in part-routes.ts. */
export const systemsRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      '/systems',
      {
        config: { scope: 'systems:read' },
        schema: {
          operationId: 'listSystems',
          summary: 'Systems, newest first',
          tags,
          querystring: systemListQuery,
          response: { 200: systemList },
        },
      },
      async (request, reply) => {
        const { limit, propertyId, tag } = request.query
        const who = act(request)
        const before = readCursor(request)?.[0] as string | undefined
        const rows = await listSystems(db, who, { propertyId, tag, before, limit })
        await auditRead(db, who, 'system', rows.slice(0, limit))
        return listed(request, reply, { rows, limit, cursor: system => [system.id], present: presentSystem })
      },
    )

    app.post(
      '/properties/:id/systems',
      {
        config: { scope: 'systems:write' },
        schema: {
          operationId: 'installSystem',
          summary: 'Record a system with whatever is known of it',
          tags,
          params,
          body: newSystem,
          response: { 201: systemWithStanding },
        },
      },
      async (request, reply) =>
        creating(request, reply, async tx => {
          const who = act(request)
          const { systemId, restood } = await installSystem(tx, who, request.params.id, request.body)
          const body = presentSystemWithStanding(await readSystem(tx, who, systemId), restood)
          return { location: `/v1/systems/${systemId}`, version: 1, body }
        }),
    )

    app.get(
      '/systems/:id',
      {
        config: { scope: 'systems:read' },
        schema: {
          operationId: 'readSystem',
          summary: 'One system with its dated parts',
          tags,
          params,
          response: { 200: systemOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        if (await answeredUnchanged(request, reply, () => systemVersion(db, who, request.params.id))) return reply
        const system = await readSystem(db, who, request.params.id)
        await auditRead(db, who, 'system', [system])
        return tagged(request, reply, system.version, presentSystem(system))
      },
    )

    app.patch(
      '/systems/:id',
      {
        config: { scope: 'systems:write' },
        schema: {
          operationId: 'correctSystem',
          summary: "Correct a system's own facts",
          description:
            'Merge patch (RFC 7396): what is named changes, null clears. The old values stay in the history.',
          tags,
          params,
          body: systemCorrection,
          response: { 200: systemWithStanding },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const version = ifMatch(request)
        const body = await db.transaction(async tx => {
          const restood = await correctSystem(tx, who, request.params.id, version, request.body)
          return presentSystemWithStanding(await readSystem(tx, who, request.params.id), restood)
        })
        return tagged(request, reply, body.system.version, body)
      },
    )

    app.post(
      '/systems/:id/void',
      {
        config: { scope: 'systems:write' },
        schema: {
          operationId: 'voidSystem',
          summary: 'Take a system out of the reckoning',
          tags,
          params,
          body: voiding,
          response: { 200: systemWithStanding },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const version = ifMatch(request)
        const body = await db.transaction(async tx => {
          const restood = await voidSystem(tx, who, request.params.id, version, request.body.reason)
          return presentSystemWithStanding(await readSystem(tx, who, request.params.id), restood)
        })
        return tagged(request, reply, body.system.version, body)
      },
    )
  }
