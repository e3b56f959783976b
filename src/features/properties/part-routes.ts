import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../../platform/deps.ts'
import { ifMatch, tagged } from '../../platform/http/etag.ts'
import { creating } from '../../platform/http/idempotency.ts'
import { notFound } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import {
  addFoundationArea,
  addTestLocation,
  correctFoundationArea,
  correctTestLocation,
  voidFoundationArea,
  voidTestLocation,
} from './change-parts.ts'
import { areaCorrection, locationCorrection, partVoiding } from './part-schemas.ts'
import { presentArea, presentLocation } from './present.ts'
import { readProperty } from './queries.ts'
import { foundationAreaOut, newFoundationArea, newTestLocation, testLocationOut } from './schemas.ts'

const ofHome = z.strictObject({ id })
const part = z.strictObject({ id, partId: id })
const tags = ['properties']
const reads = { config: { scope: 'properties:read' } }
const writes = { config: { scope: 'properties:write' } }

/** Foundation areas and test locations of a home. */
export const partRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const addArea = {
      operationId: 'addFoundationArea',
      summary: 'Add a foundation area',
      tags,
      params: ofHome,
      body: newFoundationArea,
      response: { 201: foundationAreaOut },
    }
    app.post('/properties/:id/foundation-areas', { ...writes, schema: addArea }, async (request, reply) =>
      creating(request, reply, async tx => {
        const area = await addFoundationArea(tx, act(request), request.params.id, request.body)
        const location = `/v1/properties/${request.params.id}/foundation-areas/${area.id}`
        return { location, version: area.version, body: presentArea(area) }
      }),
    )

    const oneArea = {
      operationId: 'readFoundationArea',
      summary: 'One foundation area',
      tags,
      params: part,
      response: { 200: foundationAreaOut },
    }
    app.get('/properties/:id/foundation-areas/:partId', { ...reads, schema: oneArea }, async (request, reply) => {
      const home = await readProperty(db, act(request), request.params.id)
      const area = home.foundationAreas.find(one => one.id === request.params.partId)
      if (!area) throw notFound('foundation area')
      return tagged(request, reply, area.version, presentArea(area))
    })

    const correctArea = {
      operationId: 'correctFoundationArea',
      summary: 'Correct a foundation area',
      description: 'Merge patch (RFC 7396).',
      tags,
      params: part,
      body: areaCorrection,
      response: { 200: foundationAreaOut },
    }
    app.patch(
      '/properties/:id/foundation-areas/:partId',
      { ...writes, schema: correctArea },
      async (request, reply) => {
        const ids = { propertyId: request.params.id, partId: request.params.partId }
        const area = await db.transaction(tx =>
          correctFoundationArea(tx, act(request), ids, ifMatch(request), request.body),
        )
        return tagged(request, reply, area.version, presentArea(area))
      },
    )

    const voidArea = {
      operationId: 'voidFoundationArea',
      summary: 'Take a foundation area out of a home',
      tags,
      params: part,
      body: partVoiding,
      response: { 204: z.null() },
    }
    app.post(
      '/properties/:id/foundation-areas/:partId/void',
      { ...writes, schema: voidArea },
      async (request, reply) => {
        const ids = { propertyId: request.params.id, partId: request.params.partId }
        await db.transaction(tx => voidFoundationArea(tx, act(request), ids, ifMatch(request), request.body.reason))
        return reply.code(204).send(null)
      },
    )

    const addLocation = {
      operationId: 'addTestLocation',
      summary: 'Add a test location',
      tags,
      params: ofHome,
      body: newTestLocation,
      response: { 201: testLocationOut },
    }
    app.post('/properties/:id/test-locations', { ...writes, schema: addLocation }, async (request, reply) =>
      creating(request, reply, async tx => {
        const place = await addTestLocation(tx, act(request), request.params.id, request.body)
        const location = `/v1/properties/${request.params.id}/test-locations/${place.id}`
        return { location, version: place.version, body: presentLocation(place) }
      }),
    )

    const oneLocation = {
      operationId: 'readTestLocation',
      summary: 'One test location',
      tags,
      params: part,
      response: { 200: testLocationOut },
    }
    app.get('/properties/:id/test-locations/:partId', { ...reads, schema: oneLocation }, async (request, reply) => {
      const home = await readProperty(db, act(request), request.params.id)
      const place = home.testLocations.find(one => one.id === request.params.partId)
      if (!place) throw notFound('test location')
      return tagged(request, reply, place.version, presentLocation(place))
    })

    const correctLocation = {
      operationId: 'correctTestLocation',
      summary: 'Correct a test location',
      description: 'Merge patch (RFC 7396). Every test made there is judged anew.',
      tags,
      params: part,
      body: locationCorrection,
      response: { 200: testLocationOut },
    }
    app.patch(
      '/properties/:id/test-locations/:partId',
      { ...writes, schema: correctLocation },
      async (request, reply) => {
        const ids = { propertyId: request.params.id, partId: request.params.partId }
        const place = await db.transaction(tx =>
          correctTestLocation(tx, act(request), ids, ifMatch(request), request.body),
        )
        return tagged(request, reply, place.version, presentLocation(place))
      },
    )

    const voidLocation = {
      operationId: 'voidTestLocation',
      summary: 'Take a test location out of use',
      description: 'Tests made there keep it.',
      tags,
      params: part,
      body: partVoiding,
      response: { 204: z.null() },
    }
    app.post(
      '/properties/:id/test-locations/:partId/void',
      { ...writes, schema: voidLocation },
      async (request, reply) => {
        const ids = { propertyId: request.params.id, partId: request.params.partId }
        await db.transaction(tx => voidTestLocation(tx, act(request), ids, ifMatch(request), request.body.reason))
        return reply.code(204).send(null)
      },
    )
  }
