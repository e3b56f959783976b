import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../../platform/deps.ts'
import { ifMatch, tagged, taggedByContent } from '../../platform/http/etag.ts'
import { act } from '../../platform/http/request-facts.ts'
import { instantText } from '../../platform/http/scalars.ts'
import { changeKitLimit, type KitLimitRow, kitLimits, readKitLimit } from './kit-limit-queries.ts'
import { kitLimitChange, kitLimitList, kitLimitOut, kitMethod } from './kit-schemas.ts'

const tags = ['devices']
const params = z.strictObject({ method: kitMethod })

const presentLimit = (limit: KitLimitRow): z.output<typeof kitLimitOut> => ({
  method: limit.method,
  askAfterDays: limit.askAfterDays,
  longestExposureDays: limit.longestExposureDays,
  laboratoryWithinDays: limit.laboratoryWithinDays,
  answerWithinDays: limit.answerWithinDays,
  source: limit.source,
  version: limit.version,
  updatedAt: instantText(limit.updatedAt),
})

/** The company's own limits per kind of kit. */
export const kitLimitRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      '/kit-limits',
      {
        config: { scope: 'devices:read' },
        schema: {
          operationId: 'listKitLimits',
          summary: 'What the company expects of each kind of kit, in days',
          tags,
          response: { 200: kitLimitList },
        },
      },
      async (request, reply) => taggedByContent(request, reply, { items: (await kitLimits(db)).map(presentLimit) }),
    )

    app.get(
      '/kit-limits/:method',
      {
        config: { scope: 'devices:read' },
        schema: {
          operationId: 'readKitLimit',
          summary: 'What the company expects of one kind of kit, in days',
          tags,
          params,
          response: { 200: kitLimitOut },
        },
      },
      async (request, reply) => {
        const limit = await readKitLimit(db, request.params.method)
        return tagged(request, reply, limit.version, presentLimit(limit))
      },
    )

    app.patch(
      '/kit-limits/:method',
      {
        config: { scope: 'devices:write' },
        schema: {
          operationId: 'changeKitLimit',
          summary: 'Expect something else of a kind of kit',
          tags,
          params,
          body: kitLimitChange,
          response: { 200: kitLimitOut },
        },
      },
      async (request, reply) => {
        const version = ifMatch(request)
        const { method } = request.params
        const limit = await db.transaction(async tx => {
          await changeKitLimit(tx, act(request), method, version, request.body)
          return readKitLimit(tx, method)
        })
        return tagged(request, reply, limit.version, presentLimit(limit))
      },
    )
  }
