import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../../platform/deps.ts'
import { tagged } from '../../platform/http/etag.ts'
import { listed, readCursor } from '../../platform/http/listed.ts'
import { notFound } from '../../platform/http/problem.ts'
import { id } from '../../platform/http/scalars.ts'
import { presentPolicy } from './present.ts'
import { listPolicies, readPolicy } from './queries.ts'
import { policyList, policyListQuery, policyOut } from './schemas.ts'

const config = { scope: 'policies:read' }
const tags = ['policies']

export const policiesRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const list = {
      operationId: 'listPolicies',
      summary: 'Every version of every rule set, by code and day',
      tags,
      querystring: policyListQuery,
      response: { 200: policyList },
    }
    app.get('/policies', { config, schema: list }, async (request, reply) => {
      const { limit } = request.query
      const rows = await listPolicies(db, readCursor(request) as [string, string] | null, limit)
      return listed(request, reply, {
        rows,
        limit,
        cursor: policy => [policy.code, policy.effectiveFrom],
        present: presentPolicy,
      })
    })

    const one = {
      operationId: 'readPolicy',
      summary: 'One version of a rule set',
      tags,
      params: z.strictObject({ id }),
      response: { 200: policyOut },
    }
    app.get('/policies/:id', { config, schema: one }, async (request, reply) => {
      const policy = await readPolicy(db, request.params.id)
      if (!policy) throw notFound('policy')
      return tagged(request, reply, `1-${policy.effectiveUntil ?? 'open'}`, presentPolicy(policy))
    })
  }
