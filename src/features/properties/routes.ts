import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { auditRead } from '../../platform/db/audit-read.ts'
import type { Deps } from '../../platform/deps.ts'
import { ifMatch, tagged, tagOfShown } from '../../platform/http/etag.ts'
import { creating } from '../../platform/http/idempotency.ts'
import { listed, readCursor } from '../../platform/http/listed.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import { correctProperty, voidProperty } from './correct-property.ts'
import { createProperty } from './create-property.ts'
import { listProperties } from './list-queries.ts'
import { presentProperty, seesContacts, tagOf } from './present.ts'
import { readProperty } from './queries.ts'
import { newProperty, propertyCorrection, propertyList, propertyListQuery, propertyOut, voiding } from './schemas.ts'
import { settleAddress } from './settle-address.ts'

const params = z.strictObject({ id })
const tags = ['properties']

export const propertiesRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      '/properties',
      {
        config: { scope: 'properties:read' },
        schema: {
          operationId: 'listProperties',
          summary: 'Homes, newest first',
          tags,
          querystring: propertyListQuery,
          response: { 200: propertyList },
        },
      },
      async (request, reply) => {
        const { limit, cursor: _, ...filter } = request.query
        const who = act(request)
        const contacts = seesContacts(who.actor)
        const [before = null] = (readCursor(request) as [string] | null) ?? []
        const rows = await listProperties(db, who, { ...filter, before, limit })
        if (contacts) await auditRead(db, who, 'property', rows.slice(0, limit).map(looked))
        return listed(request, reply, {
          rows,
          limit,
          cursor: home => [home.id],
          present: home => presentProperty(home, contacts),
        })
      },
    )

    app.post(
      '/properties',
      {
        config: { scope: 'properties:write' },
        schema: {
          operationId: 'createProperty',
          summary: 'Take up a home',
          description:
            'Zone and jurisdiction are found from the address where they are not given. 422 `zone-unknown` asks for the zone.',
          tags,
          body: newProperty,
          response: { 201: propertyOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const settled = await settleAddress(request.body)
        return creating(request, reply, async tx => {
          const home = await createProperty(tx, who, settled, request.body)
          const body = presentProperty(home, seesContacts(who.actor))
          return { location: `/v1/properties/${home.id}`, etag: tagOf(home), body }
        })
      },
    )

    app.get(
      '/properties/:id',
      {
        config: { scope: 'properties:read' },
        schema: {
          operationId: 'readProperty',
          summary: 'One home with its areas, test locations and how it stands in short',
          tags,
          params,
          response: { 200: propertyOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const contacts = seesContacts(who.actor)
        const home = await readProperty(db, who, request.params.id)
        if (contacts) await auditRead(db, who, 'property', [looked(home)])
        return tagged(request, reply, tagOfShown(tagOf(home), contacts), presentProperty(home, contacts))
      },
    )

    app.patch(
      '/properties/:id',
      {
        config: { scope: 'properties:write' },
        schema: {
          operationId: 'correctProperty',
          summary: 'Correct a home',
          description:
            'Merge patch (RFC 7396). A new address is located anew, except for a zone or jurisdiction that was given by hand.',
          tags,
          params,
          body: propertyCorrection,
          response: { 200: propertyOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const home = await db.transaction(tx =>
          correctProperty(tx, who, request.params.id, ifMatch(request), request.body),
        )
        const contacts = seesContacts(who.actor)
        return tagged(request, reply, tagOfShown(tagOf(home), contacts), presentProperty(home, contacts))
      },
    )

    app.post(
      '/properties/:id/void',
      {
        config: { scope: 'properties:write' },
        schema: {
          operationId: 'voidProperty',
          summary: 'Take a home out of use',
          description: 'It is listed and found no more and owes nothing; its history stays.',
          tags,
          params,
          body: voiding,
          response: { 200: propertyOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const home = await db.transaction(tx =>
          voidProperty(tx, who, request.params.id, ifMatch(request), request.body.reason),
        )
        const contacts = seesContacts(who.actor)
        return tagged(request, reply, tagOfShown(tagOf(home), contacts), presentProperty(home, contacts))
      },
    )
  }

const looked = (home: { id: string }) => ({ id: home.id, propertyId: home.id })
