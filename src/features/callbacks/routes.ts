import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { auditRead } from '../../platform/db/audit-read.ts'
import type { Database, Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { Deps } from '../../platform/deps.ts'
import { ifMatch, tagged } from '../../platform/http/etag.ts'
import { creating } from '../../platform/http/idempotency.ts'
import { listed, readCursor } from '../../platform/http/listed.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import { presentCallback } from './present.ts'
import { listCallbacks, readCallback } from './queries.ts'
import { closeCallback, correctCallback, recordCallback, reopenCallback, voidCallback } from './record-callback.ts'
import {
  callbackCorrection,
  callbackList,
  callbackListQuery,
  callbackOut,
  closing,
  newCallback,
  voiding,
} from './schemas.ts'

const tags = ['callbacks']
const params = z.strictObject({ id })
const write = { scope: 'callbacks:write' }
const response = { 200: callbackOut }

export const callbacksRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      '/callbacks',
      {
        config: { scope: 'callbacks:read' },
        schema: {
          operationId: 'listCallbacks',
          summary: 'Callbacks, newest first',
          tags,
          querystring: callbackListQuery,
          response: { 200: callbackList },
        },
      },
      async (request, reply) => {
        const { limit, propertyId, open } = request.query
        const who = act(request)
        const before = readCursor(request)?.[0] as string | undefined
        const filter = { propertyId, open: open && open === 'true', before, limit }
        const rows = await listCallbacks(db, who, filter)
        await auditRead(db, who, 'callback', rows.slice(0, limit))
        return listed(request, reply, { rows, limit, cursor: callback => [callback.id], present: presentCallback })
      },
    )

    app.post(
      '/properties/:id/callbacks',
      {
        config: write,
        schema: {
          operationId: 'recordCallback',
          summary: 'Record what was reported about a home',
          tags,
          params,
          body: newCallback,
          response: { 201: callbackOut },
        },
      },
      async (request, reply) =>
        creating(request, reply, async tx => {
          const who = act(request)
          const { callbackId } = await recordCallback(tx, who, request.params.id, request.body)
          const body = presentCallback(await readCallback(tx, who, callbackId))
          return { location: `/v1/callbacks/${callbackId}`, version: 1, body }
        }),
    )

    app.get(
      '/callbacks/:id',
      {
        config: { scope: 'callbacks:read' },
        schema: { operationId: 'readCallback', summary: 'One callback', tags, params, response },
      },
      async (request, reply) => {
        const who = act(request)
        const callback = await readCallback(db, who, request.params.id)
        await auditRead(db, who, 'callback', [callback])
        return tagged(request, reply, callback.version, presentCallback(callback))
      },
    )

    app.patch(
      '/callbacks/:id',
      {
        config: write,
        schema: {
          operationId: 'correctCallback',
          summary: 'Correct or add to a callback',
          tags,
          params,
          body: callbackCorrection,
          response,
        },
      },
      async (request, reply) =>
        changing(db, request, reply, (tx, who, callbackId, version) =>
          correctCallback(tx, who, callbackId, version, request.body),
        ),
    )

    app.post(
      '/callbacks/:id/closing',
      {
        config: write,
        schema: {
          operationId: 'closeCallback',
          summary: 'Close a callback with what was found and done',
          tags,
          params,
          body: closing,
          response,
        },
      },
      async (request, reply) =>
        changing(db, request, reply, (tx, who, callbackId, version) =>
          closeCallback(tx, who, callbackId, version, request.body),
        ),
    )

    app.post(
      '/callbacks/:id/reopening',
      {
        config: write,
        schema: {
          operationId: 'reopenCallback',
          summary: 'Open a closed callback again',
          tags,
          params,
          body: voiding,
          response,
        },
      },
      async (request, reply) =>
        changing(db, request, reply, (tx, who, callbackId, version) =>
          reopenCallback(tx, who, callbackId, version, request.body.reason),
        ),
    )

    app.post(
      '/callbacks/:id/void',
      {
        config: write,
        schema: {
          operationId: 'voidCallback',
          summary: 'Take out a callback that was none',
          tags,
          params,
          body: voiding,
          response,
        },
      },
      async (request, reply) =>
        changing(db, request, reply, (tx, who, callbackId, version) =>
          voidCallback(tx, who, callbackId, version, request.body.reason),
        ),
    )
  }

async function changing(
  db: Database,
  request: FastifyRequest,
  reply: FastifyReply,
  verb: (tx: Tx, who: Act, callbackId: string, version: number) => Promise<unknown>,
): Promise<FastifyReply> {
  const who = act(request)
  const version = ifMatch(request)
  const { id: callbackId } = request.params as { id: string }
  const callback = await db.transaction(async tx => {
    await verb(tx, who, callbackId, version)
    return readCallback(tx, who, callbackId)
  })
  return tagged(request, reply, callback.version, presentCallback(callback))
}
