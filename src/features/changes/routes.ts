import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { Deps } from '../../platform/deps.ts'
import { problem } from '../../platform/http/problem.ts'
import { followChanges } from './follow-changes.ts'
import { changesOut, changesQuery, positionGone } from './schemas.ts'

/** The feed of changes, in an order in which nothing is ever put in behind a reader. */
export const changesRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const closing = new AbortController()
    app.addHook('preClose', async () => closing.abort())

    app.get(
      '/changes',
      {
        config: { scope: 'changes:read', untagged: true },
        schema: {
          operationId: 'listChanges',
          summary: 'What has changed since a position, oldest first',
          description:
            'Tells of records that the app’s other scopes and homes let it read. Every change is told once to a reader that goes on from `next`; read the record itself for its present state. Positions are good for 90 days; 410 afterwards, and after a restore: then begin with `after=latest` and read the lists anew.',
          tags: ['changes'],
          querystring: changesQuery,
          response: { 200: changesOut, 410: positionGone },
        },
      },
      async (request, reply) => {
        const { actor } = request
        if (actor?.kind !== 'app') throw problem(403, 'not-an-app', 'The feed is for apps.')
        const gone = new AbortController()
        reply.raw.once('close', () => gone.abort())
        const until = AbortSignal.any([closing.signal, gone.signal])
        return followChanges(db, { app: actor, now: request.now, until }, request.query)
      },
    )
  }
