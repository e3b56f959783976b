import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { Deps } from '../../platform/deps.ts'
import { page } from '../../platform/http/forms.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { listAudit } from './audit-queries.ts'
import { AuditView } from './audit-view.tsx'
import { auditQuery } from './schemas.ts'

const perPage = 100

/** Who did what, for the owner. */
export const changesPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      paths.changes(),
      { config: { page: ['owner'] }, schema: { querystring: auditQuery } },
      async (request, reply) => {
        const { frame, zone } = await pageFacts(request)
        const rows = await listAudit(db, request.query, perPage)
        const lines = rows.slice(0, perPage)
        const { who, what } = request.query
        const next = rows.length > perPage ? paths.changes({ who, what, after: lines.at(-1)?.seq }) : null
        return page(
          reply,
          <Frame {...frame} title="Who did what" place="office" wide>
            <AuditView {...{ lines, next, zone }} query={request.query} />
          </Frame>,
        )
      },
    )
  }
