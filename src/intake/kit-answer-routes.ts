import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { creating } from '../platform/http/idempotency.ts'
import { act } from '../platform/http/request-facts.ts'
import { answerKit } from './answer-kit.ts'
import { kitAnswer, kitAnswered } from './kit-answer-schemas.ts'

/** A laboratory's answer over the API, found by the number of the kit. */
export const kitAnswerRoutes = (): FastifyPluginAsyncZod => async app => {
  app.post(
    '/kit-answers',
    {
      config: { scope: 'tests:write' },
      schema: {
        operationId: 'answerKit',
        summary: 'A laboratory’s answer for a kit, found by its number',
        description:
          'It becomes the result of the kit’s test, which is made where there is none yet. Refused (422) when the number fits no kit, more than one, or one that has its answer.',
        tags: ['tests'],
        body: kitAnswer,
        response: { 201: kitAnswered },
      },
    },
    async (request, reply) =>
      creating(request, reply, async tx => {
        const answered = await answerKit(tx, act(request), request.body)
        return { location: `/v1/tests/${answered.testId}`, body: answered }
      }),
  )
}
