import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { auditRead } from '../../platform/db/audit-read.ts'
import type { Deps } from '../../platform/deps.ts'
import { act } from '../../platform/http/request-facts.ts'
import { mayShow, presentHit } from './present.ts'
import { searchAnswer, searchQuery } from './schemas.ts'
import { searchHomes } from './search-homes.ts'

export const searchRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      '/search',
      {
        config: { scope: 'properties:read', untagged: true },
        schema: {
          operationId: 'searchHomes',
          summary: 'Find homes by anything remembered of them',
          description:
            'Address, postcode, owner, former owner, other people, phone fragment, mail address, system tag, serials, kit ' +
            'number; slips of the pen and missing accents are forgiven. People only with `contacts:read`.',
          tags: ['search'],
          querystring: searchQuery,
          response: { 200: searchAnswer },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const hits = await searchHomes(db, who, request.query.q, request.query.limit, mayShow(who.actor))
        const looked = hits.map(hit => ({ id: hit.propertyId, propertyId: hit.propertyId }))
        await auditRead(db, who, 'property', looked)
        return reply.send({ items: hits.map(presentHit) })
      },
    )
  }
