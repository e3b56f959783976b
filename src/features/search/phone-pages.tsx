import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Deps } from '../../platform/deps.ts'
import { page } from '../../platform/http/forms.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { CallersHomes } from './callers-homes.tsx'
import { homesOfCall } from './homes-of-call.ts'
import type { Hit } from './search-homes.ts'

const querystring = z.strictObject({ q: z.string().trim().max(200).default('') })

/** Whom the phone is about: one clear home is opened at once, of several is told what tells them apart. */
export const phonePages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const config = { page: ['owner', 'office'] as const }
    app.get(paths.phone(), { config, schema: { querystring } }, async (request, reply) => {
      const { q } = request.query
      const who = act(request)
      const { frame, zone, country, contacts } = await pageFacts(request)
      const { hits, homes, apart } = await homesOfCall(db, who, q, { country, contacts })
      const clear = clearHit(hits)
      if (clear) return reply.redirect(paths.homePhone(clear.propertyId), 303)
      return page(
        reply,
        <Frame {...frame} title="Phone" place="phone" query={q} onThePhone searchFirst={hits.length === 0}>
          <h1>On the phone</h1>
          <CallersHomes
            {...{ query: q, homes, apart, more: hits.length > homes.length }}
            today={localDayOf(request.now, zone)}
          />
        </Frame>,
      )
    })
  }

/** The only home that answers, or the only one whose tag, serial or number was given whole. */
function clearHit(hits: readonly Hit[]): Hit | undefined {
  const exact = hits.filter(hit => hit.exact)
  return hits.length === 1 ? hits[0] : exact.length === 1 ? exact[0] : undefined
}
