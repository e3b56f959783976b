import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Deps } from '../../platform/deps.ts'
import { page } from '../../platform/http/forms.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { listApart } from './apart-queries.ts'
import { DoublesView } from './doubles-view.tsx'
import { likelyDoubles } from './find-doubles.ts'

const most = 50
const config = { page: ['owner', 'office'] as const }

/** The entries of people that may be doubled. */
export const doublesPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.doubledPeople(), { config }, async (request, reply) => {
      const { frame, country, zone } = await pageFacts(request)
      const [doubles, apart] = await Promise.all([likelyDoubles(db, most + 1), listApart(db, most + 1)])
      return page(
        reply,
        <Frame {...frame} title="Entered twice?" place="people">
          <DoublesView {...{ country, zone, most, doubles, apart }} today={localDayOf(request.now, zone)} />
        </Frame>,
      )
    })
  }
