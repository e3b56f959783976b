import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import { firstQuestionsOf } from '../../domain/first-questions/first-questions-of.ts'
import { auditRead } from '../../platform/db/audit-read.ts'
import type { Deps } from '../../platform/deps.ts'
import { taggedByContent } from '../../platform/http/etag.ts'
import { notFound } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import { callFactsOf } from './call-facts.ts'
import { readCall } from './call-queries.ts'
import { firstQuestionsOut, firstQuestionsQuery } from './schemas.ts'

/** The first questions, for whoever else answers the company's phone. */
export const questionRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      '/properties/:id/first-questions',
      {
        config: { scope: 'callbacks:read' },
        schema: {
          operationId: 'readFirstQuestions',
          summary: 'The three questions to ask first for what is reported about a home',
          description:
            'In order, each with why it is asked and what an answer points to, by what is on record of this home: its ' +
            'gauge, its own start-up value, its fan. Send them back with their answers when the callback is recorded.',
          tags: ['callbacks'],
          params: z.strictObject({ id }),
          querystring: firstQuestionsQuery,
          response: { 200: firstQuestionsOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const { reported, systemId } = request.query
        const home = await readCall(db, who, request.params.id)
        const system = systemId ? home.systems.find(one => one.id === systemId) : home.systems[0]
        if (systemId && !system) throw notFound('system')
        await auditRead(db, who, 'property', [{ id: home.id, propertyId: home.id }])
        const facts = callFactsOf(system, home.zone, localDayOf(request.now, home.zone))
        const questions = firstQuestionsOf(reported, facts).map(({ ask, why, meanings, source }) => ({
          ask,
          why,
          meanings: [...meanings],
          source,
        }))
        return taggedByContent(request, reply, { systemId: system?.id ?? null, questions })
      },
    )
  }
