import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import { firstQuestionsOf } from '../../domain/first-questions/first-questions-of.ts'
import type { Deps } from '../../platform/deps.ts'
import { formKey, page } from '../../platform/http/forms.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { readStanding } from '../../standing/read-standing.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { callFactsOf } from './call-facts.ts'
import { readCall } from './call-queries.ts'
import { CallView } from './call-view.tsx'
import { reported } from './schemas.ts'

const schema = {
  params: z.strictObject({ id: z.uuid() }),
  querystring: z.strictObject({ reported: reported.optional(), system: z.uuid().optional() }),
}

/** A home while somebody is on the phone. */
export const callPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const config = { page: ['owner', 'office'] as const }
    app.get(paths.homePhone(':id'), { config, schema }, async (request, reply) => {
      const { frame } = await pageFacts(request)
      const home = await readCall(db, act(request), request.params.id)
      const kept = await readStanding(db, home.id)
      const today = localDayOf(request.now, home.zone)
      const said = request.query.reported ?? null
      const system = home.systems.find(({ id }) => id === request.query.system) ?? home.systems[0]
      const questions = said && firstQuestionsOf(said, callFactsOf(system, home.zone, today))
      const title = [home.street, home.unit].filter(Boolean).join(' ')
      return page(
        reply,
        <Frame {...frame} title="On the phone" home={title} place="phone" wide onThePhone>
          <CallView
            {...{ home, today, system, questions, csrf: frame.csrf }}
            standing={kept?.standing ?? null}
            reported={said}
            keys={[formKey(), formKey()]}
          />
        </Frame>,
      )
    })
  }
