import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../../platform/deps.ts'
import { ifMatch, tagged } from '../../platform/http/etag.ts'
import { creating } from '../../platform/http/idempotency.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import { addParts, correctComponent, voidPart } from './change-system.ts'
import type { Parts } from './install-system.ts'
import { presentSystemWithStanding } from './present.ts'
import { readSystem } from './queries.ts'
import {
  componentCorrection,
  newComponent,
  newGaugeReading,
  newSuctionPoint,
  newSystemEvent,
  partKind,
  systemWithStanding,
  voiding,
} from './schemas.ts'

const tags = ['systems']
const params = z.strictObject({ id })
const config = { scope: 'systems:write' }
const created = { 201: systemWithStanding }
const changed = { 200: systemWithStanding }

/** The dated parts of a system. Each is a fact of its own; the system's version counts them. */
export const systemPartRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.post(
      '/systems/:id/components',
      {
        config,
        schema: {
          operationId: 'addComponent',
          summary: 'Add a component with the day it went in',
          tags,
          params,
          body: newComponent,
          response: created,
        },
      },
      async (request, reply) => adding(request, reply, request.params.id, { components: [request.body] }),
    )

    app.post(
      '/systems/:id/suction-points',
      {
        config,
        schema: {
          operationId: 'addSuctionPoint',
          summary: 'Add a suction point',
          tags,
          params,
          body: newSuctionPoint,
          response: created,
        },
      },
      async (request, reply) => adding(request, reply, request.params.id, { suctionPoints: [request.body] }),
    )

    app.post(
      '/systems/:id/events',
      {
        config,
        schema: {
          operationId: 'addSystemEvent',
          summary: 'Add a dated event: first start, off, on, completion, sign-off, work on it',
          tags,
          params,
          body: newSystemEvent,
          response: created,
        },
      },
      async (request, reply) => adding(request, reply, request.params.id, { events: [request.body] }),
    )

    app.post(
      '/systems/:id/gauge-readings',
      {
        config,
        schema: {
          operationId: 'addGaugeReading',
          summary: 'Add a reading of the system gauge',
          tags,
          params,
          body: newGaugeReading,
          response: created,
        },
      },
      async (request, reply) => adding(request, reply, request.params.id, { gaugeReadings: [request.body] }),
    )

    app.patch(
      '/systems/:id/components/:componentId',
      {
        config,
        schema: {
          operationId: 'correctComponent',
          summary: 'Correct a component, or date its removal',
          tags,
          params: z.strictObject({ id, componentId: id }),
          body: componentCorrection,
          response: changed,
        },
      },
      async (request, reply) => {
        const who = act(request)
        const version = ifMatch(request)
        const { id: systemId, componentId } = request.params
        const body = await db.transaction(async tx => {
          const restood = await correctComponent(tx, who, systemId, version, componentId, request.body)
          return presentSystemWithStanding(await readSystem(tx, who, systemId), restood)
        })
        return tagged(request, reply, body.system.version, body)
      },
    )

    app.post(
      '/systems/:id/parts/:kind/:partId/void',
      {
        config,
        schema: {
          operationId: 'voidSystemPart',
          summary: 'Take out a part, event or reading that was entered wrongly',
          tags,
          params: z.strictObject({ id, kind: partKind, partId: id }),
          body: voiding,
          response: changed,
        },
      },
      async (request, reply) => {
        const who = act(request)
        const version = ifMatch(request)
        const { id: systemId, kind, partId } = request.params
        const body = await db.transaction(async tx => {
          const part = { kind, id: partId, reason: request.body.reason }
          const restood = await voidPart(tx, who, systemId, version, part)
          return presentSystemWithStanding(await readSystem(tx, who, systemId), restood)
        })
        return tagged(request, reply, body.system.version, body)
      },
    )
  }

const adding = (request: FastifyRequest, reply: FastifyReply, systemId: string, parts: Parts) =>
  creating(request, reply, async tx => {
    const who = act(request)
    const { restood } = await addParts(tx, who, systemId, parts)
    const body = presentSystemWithStanding(await readSystem(tx, who, systemId), restood)
    return { location: `/v1/systems/${systemId}`, version: body.system.version, body }
  })
