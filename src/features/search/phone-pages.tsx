import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Deps } from '../../platform/deps.ts'
import { page } from '../../platform/http/forms.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { readApart } from './apart-queries.ts'
import { CallersHomes } from './callers-homes.tsx'
import { mayShowOnScreen } from './present.ts'
import { phoneMeant } from './read-phone.ts'
import { type Hit, searchHomes } from './search-homes.ts'

const shown = 20
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
      const search = (typed: string) => searchHomes(db, who, typed, shown + 1, mayShowOnScreen(contacts))
      const number = phoneMeant(q, country)
      const asTyped = await search(q)
      const hits = asTyped.length === 0 && number ? await search(number) : asTyped
      const clear = clearHit(hits)
      if (clear) return reply.redirect(paths.homePhone(clear.propertyId), 303)
      const homes = hits.slice(0, shown)
      const apart = await readApart(
        db,
        homes.map(hit => hit.propertyId),
      )
      return page(
        reply,
        <Frame {...frame} title="Phone" place="phone" query={q} onThePhone searchFirst={hits.length === 0}>
          <h1>On the phone</h1>
          <CallersHomes
            {...{ query: q, homes, apart, more: hits.length > shown }}
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
