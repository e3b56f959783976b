import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../../platform/deps.ts'
import { page } from '../../platform/http/forms.ts'
import { pageCursor, readPageCursor } from '../../platform/http/page-cursor.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { countKnown, listIncomplete, missingThings } from './missing-queries.ts'
import { MissingView } from './missing-view.tsx'

const config = { page: ['owner', 'office'] as const }
const perPage = 100
const asked = z.strictObject({
  what: z.enum(missingThings).optional().catch(undefined),
  after: z.string().max(400).optional(),
})
const townStreetId = z.tuple([z.string(), z.string(), z.uuid()])

/** Homes by what their records lack. */
export const missingPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.missing(), { config, schema: { querystring: asked } }, async (request, reply) => {
      const who = act(request)
      const { what, after } = request.query
      const cursor = readPageCursor(townStreetId, after)
      const [{ frame }, known, rows] = await Promise.all([
        pageFacts(request),
        countKnown(db, who),
        listIncomplete(db, who, { thing: what ?? null, after: cursor, limit: perPage }),
      ])
      const homes = rows.slice(0, perPage)
      const last = rows.length > perPage ? homes.at(-1) : undefined
      const next = last ? paths.missing({ what, after: pageCursor([last.city, last.street, last.id]) }) : null
      return page(
        reply,
        <Frame {...frame} title="What is missing" place="homes" wide>
          <MissingView {...{ known, homes, next }} what={what ?? null} />
        </Frame>,
      )
    })
  }
