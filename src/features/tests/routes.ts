import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { auditRead } from '../../platform/db/audit-read.ts'
import type { Deps } from '../../platform/deps.ts'
import { tagged, taggedByContent } from '../../platform/http/etag.ts'
import { creating } from '../../platform/http/idempotency.ts'
import { listed, readCursor } from '../../platform/http/listed.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import { attemptsBeside } from './attempt-queries.ts'
import { attemptList } from './attempt-schemas.ts'
import { presentTest } from './present.ts'
import { presentAttempts } from './present-attempt.ts'
import { presentTestWithStanding } from './present-with-standing.ts'
import { listTests, readTest } from './queries.ts'
import { recordTest } from './record-test.ts'
import { newTest, testList, testListQuery, testOut, testWithStanding } from './schemas.ts'

const tags = ['tests']

/** Reading tests and recording new ones; what happens to a test afterwards is in change-routes.ts. */
export const testsRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      '/tests',
      {
        config: { scope: 'tests:read' },
        schema: {
          operationId: 'listTests',
          summary: 'Tests, newest first',
          tags,
          querystring: testListQuery,
          response: { 200: testList },
        },
      },
      async (request, reply) => {
        const { limit, propertyId } = request.query
        const who = act(request)
        const before = readCursor(request)?.[0] as string | undefined
        const rows = await listTests(db, who, { propertyId, before, limit })
        await auditRead(db, who, 'test', rows.slice(0, limit))
        return listed(request, reply, { rows, limit, cursor: test => [test.id], present: presentTest })
      },
    )

    app.post(
      '/properties/:id/tests',
      {
        config: { scope: 'tests:write' },
        schema: {
          operationId: 'recordTest',
          summary: 'Record a test from the first facts known of it',
          description:
            'A breach of the protocol is a finding, stored and answered with 201; what contradicts itself is refused.',
          tags,
          params: z.strictObject({ id }),
          body: newTest,
          response: { 201: testWithStanding },
        },
      },
      async (request, reply) =>
        creating(request, reply, async tx => {
          const who = act(request)
          const { testId, restood } = await recordTest(tx, who, request.params.id, request.body)
          const body = presentTestWithStanding(await readTest(tx, who, testId), restood)
          return { location: `/v1/tests/${testId}`, version: 1, body }
        }),
    )

    app.get(
      '/tests/:id',
      {
        config: { scope: 'tests:read' },
        schema: {
          operationId: 'readTest',
          summary: 'One test with its evaluation',
          tags,
          params: z.strictObject({ id }),
          response: { 200: testOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const test = await readTest(db, who, request.params.id)
        await auditRead(db, who, 'test', [test])
        return tagged(request, reply, tagOf(test), presentTest(test))
      },
    )

    app.get(
      '/tests/:id/attempts',
      {
        config: { scope: 'tests:read' },
        schema: {
          operationId: 'listAttempts',
          summary: 'Tests after mitigation of the same system, oldest first, with what was changed before each',
          description: 'Empty for a test of another purpose.',
          tags,
          params: z.strictObject({ id }),
          response: { 200: attemptList },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const { id, propertyId } = await readTest(db, who, request.params.id)
        const attempts = await attemptsBeside(db, id)
        const looked = attempts.map(({ testId }) => ({ id: testId, propertyId }))
        await auditRead(db, who, 'test', looked)
        return taggedByContent(request, reply, presentAttempts(attempts))
      },
    )
  }

/** Version of the facts, then what tells one evaluation of them from another. */
export const tagOf = (test: { version: number; evaluationTag: string | null }): string =>
  test.evaluationTag ? `${test.version}.${test.evaluationTag}` : String(test.version)
