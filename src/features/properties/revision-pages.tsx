import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Deps } from '../../platform/deps.ts'
import { page } from '../../platform/http/forms.ts'
import { pageCursor, readPageCursor } from '../../platform/http/page-cursor.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { streetOf } from './home-view.tsx'
import { homeParams } from './page-schemas.ts'
import { readProperty } from './queries.ts'
import { readRevisions } from './revision-queries.ts'
import { RevisionsView } from './revisions-view.tsx'

const perPage = 50
const querystring = z.strictObject({ after: z.string().max(200).optional() })
const instantAndId = z.tuple([z.number().int(), z.uuid()])
const config = { page: ['owner', 'office'] as const }

export const revisionPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const schema = { params: homeParams, querystring }
    app.get(paths.homeChanges(':id'), { config, schema }, async (request, reply) => {
      const home = await readProperty(db, act(request), request.params.id)
      const before = readPageCursor(instantAndId, request.query.after)
      const rows = await readRevisions(db, home.id, before, perPage)
      const { frame } = await pageFacts(request)
      const revisions = rows.slice(0, perPage)
      const last = rows.length > perPage ? revisions.at(-1) : undefined
      const next = last ? `${paths.homeChanges(home.id)}?after=${pageCursor([last.at, last.id])}` : null
      return page(
        reply,
        <Frame {...frame} title="What was corrected" home={streetOf(home)} place="homes">
          <RevisionsView
            {...{ revisions, next, homeId: home.id, zone: home.zone }}
            today={localDayOf(request.now, home.zone)}
          />
        </Frame>,
      )
    })
  }
