import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { auditRead } from '../../platform/db/audit-read.ts'
import type { Database, Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { Deps } from '../../platform/deps.ts'
import { ifMatch, tagged } from '../../platform/http/etag.ts'
import { creating } from '../../platform/http/idempotency.ts'
import { listed, readCursor } from '../../platform/http/listed.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import { correctVisit, planVisit, reportVisit, voidVisit } from './plan-visit.ts'
import { presentVisit } from './present.ts'
import { listVisits, readVisit } from './queries.ts'
import { newVisit, visitCorrection, visitList, visitListQuery, visitOut, visitReport, voiding } from './schemas.ts'

const tags = ['visits']
const params = z.strictObject({ id })
const write = { scope: 'visits:write' }
const response = { 200: visitOut }

export const visitsRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      '/visits',
      {
        config: { scope: 'visits:read' },
        schema: {
          operationId: 'listVisits',
          summary: 'Visits, newest first',
          tags,
          querystring: visitListQuery,
          response: { 200: visitList },
        },
      },
      async (request, reply) => {
        const { limit, propertyId } = request.query
        const who = act(request)
        const before = readCursor(request)?.[0] as string | undefined
        const rows = await listVisits(db, who, { propertyId, before, limit })
        await auditRead(db, who, 'visit', rows.slice(0, limit))
        return listed(request, reply, { rows, limit, cursor: visit => [visit.id], present: presentVisit })
      },
    )

    app.post(
      '/properties/:id/visits',
      {
        config: write,
        schema: {
          operationId: 'planVisit',
          summary: 'Plan a visit and assign its crew, who see the home from then on',
          tags,
          params,
          body: newVisit,
          response: { 201: visitOut },
        },
      },
      async (request, reply) =>
        creating(request, reply, async tx => {
          const who = act(request)
          const visitId = await planVisit(tx, who, request.params.id, request.body)
          const body = presentVisit(await readVisit(tx, who, visitId))
          return { location: `/v1/visits/${visitId}`, version: 1, body }
        }),
    )

    app.get(
      '/visits/:id',
      {
        config: { scope: 'visits:read' },
        schema: { operationId: 'readVisit', summary: 'One visit', tags, params, response },
      },
      async (request, reply) => {
        const who = act(request)
        const visit = await readVisit(db, who, request.params.id)
        await auditRead(db, who, 'visit', [visit])
        return tagged(request, reply, visit.version, presentVisit(visit))
      },
    )

    app.patch(
      '/visits/:id',
      {
        config: write,
        schema: {
          operationId: 'correctVisit',
          summary: 'Move, re-assign or correct a visit',
          tags,
          params,
          body: visitCorrection,
          response,
        },
      },
      async (request, reply) =>
        changing(db, request, reply, (tx, who, visitId, version) =>
          correctVisit(tx, who, visitId, version, request.body),
        ),
    )

    app.post(
      '/visits/:id/report',
      {
        config: write,
        schema: { operationId: 'reportVisit', summary: 'Say how it went', tags, params, body: visitReport, response },
      },
      async (request, reply) =>
        changing(db, request, reply, (tx, who, visitId, version) =>
          reportVisit(tx, who, visitId, version, request.body),
        ),
    )

    app.post(
      '/visits/:id/void',
      {
        config: write,
        schema: {
          operationId: 'voidVisit',
          summary: 'Take out a visit that was entered wrongly',
          tags,
          params,
          body: voiding,
          response,
        },
      },
      async (request, reply) =>
        changing(db, request, reply, (tx, who, visitId, version) =>
          voidVisit(tx, who, visitId, version, request.body.reason),
        ),
    )
  }

async function changing(
  db: Database,
  request: FastifyRequest,
  reply: FastifyReply,
  verb: (tx: Tx, who: Act, visitId: string, version: number) => Promise<unknown>,
): Promise<FastifyReply> {
  const who = act(request)
  const version = ifMatch(request)
  const { id: visitId } = request.params as { id: string }
  const visit = await db.transaction(async tx => {
    await verb(tx, who, visitId, version)
    return readVisit(tx, who, visitId)
  })
  return tagged(request, reply, visit.version, presentVisit(visit))
}
