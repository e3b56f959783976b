import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Database, Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { Deps } from '../../platform/deps.ts'
import { ifMatch, tagged } from '../../platform/http/etag.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import type { Restood } from '../../standing/restand.ts'
import { pickUpTest, sendToLaboratory, takeResults } from './advance-test.ts'
import { acceptResult, correctTest, voidTest } from './correct-test.ts'
import { presentTestWithStanding } from './present-with-standing.ts'
import { readTest } from './queries.ts'
import { tagOf } from './routes.ts'
import { pickUp, resultsIn, testCorrection, testWithStanding, toLaboratory, voiding } from './schemas.ts'

const tags = ['tests']
const params = z.strictObject({ id })
const response = { 200: testWithStanding }
const config = { scope: 'tests:write' }

/** What happens to a test after it was set, each with If-Match and the standing that follows. */
export const testChangeRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.patch(
      '/tests/:id',
      {
        config,
        schema: {
          operationId: 'correctTest',
          summary: 'Correct facts of a test',
          description:
            'Merge patch (RFC 7396): what is named changes, null clears. The old values stay in the history.',
          tags,
          params,
          body: testCorrection,
          response,
        },
      },
      async (request, reply) =>
        changing(db, request, reply, (tx, who, testId, version) => correctTest(tx, who, testId, version, request.body)),
    )

    app.post(
      '/tests/:id/pick-up',
      {
        config,
        schema: {
          operationId: 'pickUpTest',
          summary: 'The device was picked up',
          tags,
          params,
          body: pickUp,
          response,
        },
      },
      async (request, reply) =>
        changing(db, request, reply, (tx, who, testId, version) => pickUpTest(tx, who, testId, version, request.body)),
    )

    app.post(
      '/tests/:id/laboratory',
      {
        config,
        schema: {
          operationId: 'sendTestToLaboratory',
          summary: 'The device went to the laboratory',
          tags,
          params,
          body: toLaboratory,
          response,
        },
      },
      async (request, reply) =>
        changing(db, request, reply, (tx, who, testId, version) =>
          sendToLaboratory(tx, who, testId, version, request.body),
        ),
    )

    app.post(
      '/tests/:id/results',
      {
        config,
        schema: { operationId: 'takeTestResults', summary: 'Results are in', tags, params, body: resultsIn, response },
      },
      async (request, reply) =>
        changing(db, request, reply, (tx, who, testId, version) => takeResults(tx, who, testId, version, request.body)),
    )

    app.post(
      '/tests/:id/acceptance',
      {
        config,
        schema: { operationId: 'acceptTestResult', summary: 'Accept the result', tags, params, response },
      },
      async (request, reply) => changing(db, request, reply, acceptResult),
    )

    app.post(
      '/tests/:id/void',
      {
        config,
        schema: {
          operationId: 'voidTest',
          summary: 'Take a test out of the reckoning',
          tags,
          params,
          body: voiding,
          response,
        },
      },
      async (request, reply) =>
        changing(db, request, reply, (tx, who, testId, version) =>
          voidTest(tx, who, testId, version, request.body.reason),
        ),
    )
  }

async function changing(
  db: Database,
  request: FastifyRequest,
  reply: FastifyReply,
  verb: (tx: Tx, who: Act, testId: string, version: number) => Promise<Restood>,
): Promise<FastifyReply> {
  const who = act(request)
  const version = ifMatch(request)
  const { id: testId } = request.params as { id: string }
  const { test, restood } = await db.transaction(async tx => {
    const restood = await verb(tx, who, testId, version)
    return { restood, test: await readTest(tx, who, testId) }
  })
  return tagged(request, reply, tagOf(test), presentTestWithStanding(test, restood))
}
