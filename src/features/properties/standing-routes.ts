import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { auditRead } from '../../platform/db/audit-read.ts'
import type { Deps } from '../../platform/deps.ts'
import { tagged } from '../../platform/http/etag.ts'
import { listed, readCursor } from '../../platform/http/listed.ts'
import { notFound } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import { standingOut } from '../../standing/answer-schemas.ts'
import { presentStanding } from '../../standing/present-standing.ts'
import { readStanding } from '../../standing/read-standing.ts'
import { seenHome } from '../../standing/seen-home.ts'
import { presentRevision, seesContacts } from './present.ts'
import { readRevisions } from './revision-queries.ts'
import { historyQuery, revisionList } from './revision-schemas.ts'

const params = z.strictObject({ id })

export const standingRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      '/properties/:id/standing',
      {
        config: { scope: 'properties:read' },
        schema: {
          operationId: 'readStanding',
          summary: 'How a home stands',
          description: 'Verdict, every test as judged, what is owed next, each with its working and clause.',
          tags: ['properties'],
          params,
          response: { 200: standingOut },
        },
      },
      async (request, reply) => {
        const home = await seenHome(db, act(request), request.params.id)
        const kept = await readStanding(db, home.id)
        if (!kept) throw notFound('standing')
        // The company's words are part of what is shown, and change without the standing.
        const tag = kept.cautionAdded === '' ? kept.version : `${kept.version}.${kept.companyVersion}`
        return tagged(request, reply, tag, presentStanding(kept))
      },
    )

    app.get(
      '/properties/:id/history',
      {
        config: { scope: 'properties:read' },
        schema: {
          operationId: 'readPropertyHistory',
          summary: 'What corrections of a home and its records replaced',
          description: 'Newest first: the old values, who, when and why. Values are left out without `contacts:read`.',
          tags: ['properties'],
          params,
          querystring: historyQuery,
          response: { 200: revisionList },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const contacts = seesContacts(who.actor)
        const home = await seenHome(db, who, request.params.id)
        const { limit } = request.query
        const rows = await readRevisions(db, home.id, readCursor(request) as [number, string] | null, limit)
        if (contacts) await auditRead(db, who, 'property', [{ id: home.id, propertyId: home.id }])
        return listed(request, reply, {
          rows,
          limit,
          cursor: revision => [revision.at, revision.id],
          present: revision => presentRevision(revision, contacts),
        })
      },
    )
  }
