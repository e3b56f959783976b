import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../platform/deps.ts'
import { taggedByContent } from '../platform/http/etag.ts'
import { notFound } from '../platform/http/problem.ts'
import { act } from '../platform/http/request-facts.ts'
import { id } from '../platform/http/scalars.ts'
import { listSavedReadings, removeSavedReading } from './saved-readings.ts'
import { savedReadingList, savedReadingOut } from './schemas.ts'

const config = { scope: 'imports:write' }
const tags = ['imports']

/** Readings kept under a name for the next file of the same monitor. */
export const savedReadingRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      '/saved-readings',
      {
        config,
        schema: {
          operationId: 'listSavedReadings',
          summary: 'Readings kept by name',
          tags,
          response: { 200: savedReadingList },
        },
      },
      async (request, reply) => {
        const saved = await listSavedReadings(db)
        const items = saved.map(one => savedReadingOut.parse(one))
        return taggedByContent(request, reply, { items })
      },
    )

    app.delete(
      '/saved-readings/:id',
      {
        config,
        schema: {
          operationId: 'removeSavedReading',
          summary: 'Forget a reading',
          tags,
          params: z.strictObject({ id }),
          response: { 204: z.null() },
        },
      },
      async (request, reply) => {
        const removed = await db.transaction(tx => removeSavedReading(tx, act(request), request.params.id))
        if (!removed) throw notFound('saved reading')
        return reply.code(204).send(null)
      },
    )
  }
