import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../../platform/deps.ts'
import { ifMatch, tagged } from '../../platform/http/etag.ts'
import { creating } from '../../platform/http/idempotency.ts'
import { notFound } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import { seenHome } from '../../standing/seen-home.ts'
import { readEvent, readEvents } from './event-queries.ts'
import { eventVoiding, homeEventList, homeEventOut, newHomeEvent } from './people-schemas.ts'
import { presentEvent } from './present.ts'
import { recordEvent, voidEvent } from './record-event.ts'

const ofHome = z.strictObject({ id })
const one = z.strictObject({ id, eventId: id })
const tags = ['properties']
const reads = { config: { scope: 'properties:read' } }
const writes = { config: { scope: 'properties:write' } }

/** What was done to or happened at a home that may call for a new test. */
export const eventRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const list = {
      operationId: 'listHomeEvents',
      summary: 'What was done to or happened at a home, newest first',
      tags,
      params: ofHome,
      response: { 200: homeEventList },
    }
    app.get('/properties/:id/events', { ...reads, schema: list }, async (request, reply) => {
      const home = await seenHome(db, act(request), request.params.id)
      const events = await readEvents(db, home.id)
      const tag = events.map(event => `${event.id.slice(-12)}-${event.version}`).join('_') || 'none'
      return tagged(request, reply, tag, { items: events.map(presentEvent) })
    })

    const record = {
      operationId: 'recordHomeEvent',
      summary: 'Record a renovation, a new heating, a sale …',
      tags,
      params: ofHome,
      body: newHomeEvent,
      response: { 201: homeEventOut },
    }
    app.post('/properties/:id/events', { ...writes, schema: record }, async (request, reply) =>
      creating(request, reply, async tx => {
        const event = await recordEvent(tx, act(request), request.params.id, request.body)
        const location = `/v1/properties/${request.params.id}/events/${event.id}`
        return { location, version: event.version, body: presentEvent(event) }
      }),
    )

    const read = {
      operationId: 'readHomeEvent',
      summary: 'One event of a home',
      tags,
      params: one,
      response: { 200: homeEventOut },
    }
    app.get('/properties/:id/events/:eventId', { ...reads, schema: read }, async (request, reply) => {
      const home = await seenHome(db, act(request), request.params.id)
      const event = await readEvent(db, home.id, request.params.eventId)
      if (!event) throw notFound('home event')
      return tagged(request, reply, event.version, presentEvent(event))
    })

    const voiding = {
      operationId: 'voidHomeEvent',
      summary: 'Take an event out of the reckoning',
      description: 'It stays in the history, struck through.',
      tags,
      params: one,
      body: eventVoiding,
      response: { 200: homeEventOut },
    }
    app.post('/properties/:id/events/:eventId/void', { ...writes, schema: voiding }, async (request, reply) => {
      const { id: homeId, eventId } = request.params
      const event = await db.transaction(tx =>
        voidEvent(tx, act(request), homeId, eventId, ifMatch(request), request.body.reason),
      )
      return tagged(request, reply, event.version, presentEvent(event))
    })
  }
