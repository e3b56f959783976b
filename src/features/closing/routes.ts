import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { auditRead } from '../../platform/db/audit-read.ts'
import type { Deps } from '../../platform/deps.ts'
import { taggedByContent } from '../../platform/http/etag.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import { askClosing } from './ask-closing.ts'
import { presentClosing, seesDevices } from './present.ts'
import { closingOut, closingQuery } from './schemas.ts'

const params = z.strictObject({ id })

export const closingRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      '/properties/:id/closing',
      {
        config: { scope: 'visits:read', refusals: [422] },
        schema: {
          operationId: 'readClosing',
          summary: 'Whether a home can be fixed, and have a result, by a deadline',
          description:
            'Reckoned back from the deadline and on from now, by the rules of the home’s law, the company’s hours, what ' +
            'is planned for its people, and the devices that are free. Nothing is kept: `planVisit` makes the visits.',
          tags: ['visits'],
          params,
          querystring: closingQuery,
          response: { 200: closingOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const { asks, method, deadline = null } = request.query
        const answered = await askClosing(db, who, request.params.id, { asks, method, deadline })
        await auditRead(db, who, 'property', [{ id: answered.home.id, propertyId: answered.home.id }])
        return taggedByContent(request, reply, presentClosing(answered, seesDevices(who.actor)))
      },
    )
  }
