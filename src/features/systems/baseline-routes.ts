import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../../platform/deps.ts'
import { ifMatch, tagged } from '../../platform/http/etag.ts'
import { creating } from '../../platform/http/idempotency.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import { activateSystem } from './activate-system.ts'
import { adoptBaseline } from './adopt-baseline.ts'
import { presentSystemWithStanding } from './present.ts'
import { readSystem } from './queries.ts'
import { activation, newBaseline, systemWithStanding } from './schemas.ts'

const tags = ['systems']
const params = z.strictObject({ id })
const config = { scope: 'systems:write' }

/** What a system that others built, or a pipe that others laid, needs before its gauge can be judged. */
export const baselineRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.post(
      '/systems/:id/baseline',
      {
        config,
        schema: {
          operationId: 'adoptBaseline',
          summary: 'Adopt a reading as the baseline of a system whose start-up value is not known',
          description:
            'It is marked as adopted, by whom and when, wherever later readings are held against it. One adopted ' +
            'before stays on record. Taken back with `voidSystemPart`, kind `gauge-reading`.',
          tags,
          params,
          body: newBaseline,
          response: { 201: systemWithStanding },
        },
      },
      async (request, reply) =>
        creating(request, reply, async tx => {
          const who = act(request)
          const { id: systemId } = request.params
          const restood = await adoptBaseline(tx, who, systemId, request.body)
          const body = presentSystemWithStanding(await readSystem(tx, who, systemId), restood)
          return { location: `/v1/systems/${systemId}`, version: body.system.version, body }
        }),
    )

    app.post(
      '/systems/:id/activation',
      {
        config,
        schema: {
          operationId: 'activateSystem',
          summary: 'Put a fan into a passive pipe',
          description: 'Records the fan, its start, and what the gauge showed then as an adopted baseline.',
          tags,
          params,
          body: activation,
          response: { 200: systemWithStanding },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const version = ifMatch(request)
        const { id: systemId } = request.params
        const body = await db.transaction(async tx => {
          const restood = await activateSystem(tx, who, systemId, version, request.body)
          return presentSystemWithStanding(await readSystem(tx, who, systemId), restood)
        })
        return tagged(request, reply, body.system.version, body)
      },
    )
  }
