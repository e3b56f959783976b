import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Deps } from '../../platform/deps.ts'
import { page } from '../../platform/http/forms.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { HitList, hrefOf } from './hit-list.tsx'
import { mayShowOnScreen } from './present.ts'
import { searchHomes } from './search-homes.ts'

const shown = 20
const querystring = z.strictObject({ q: z.string().trim().max(200).default('') })

export const searchPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const config = { page: ['owner', 'office', 'crew'] as const }
    app.get(paths.search(), { config, schema: { querystring } }, async (request, reply) => {
      const { q } = request.query
      const { frame, zone, contacts } = await pageFacts(request)
      const hits = await searchHomes(db, act(request), q, shown + 1, mayShowOnScreen(contacts))
      const [first] = hits
      // A whole tag or serial names one record: nobody wants a list of one.
      if (first?.exact && hits.filter(hit => hit.exact).length === 1)
        return reply.redirect(hrefOf(first.propertyId, first.exact), 303)
      return page(
        reply,
        <Frame {...frame} title={q ? `Search: ${q}` : 'Search'} query={q}>
          <h1>Search</h1>
          <HitList
            query={q}
            hits={hits.slice(0, shown)}
            today={localDayOf(request.now, zone)}
            more={hits.length > shown}
          />
        </Frame>,
      )
    })
  }
