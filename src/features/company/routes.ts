import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Deps } from '../../platform/deps.ts'
import { taggedByContent } from '../../platform/http/etag.ts'
import { presentCompany } from './present.ts'
import { listedCredentials, readCompany } from './queries.ts'
import { companyOut } from './schemas.ts'

export const companyRoutes =
  ({ db, config }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      '/company',
      {
        config: { scope: 'company:read' },
        schema: {
          operationId: 'readCompany',
          summary: 'The company whose records these are',
          tags: ['company'],
          response: { 200: companyOut },
        },
      },
      async (request, reply) => {
        const [company, credentials] = await Promise.all([readCompany(db), listedCredentials(db)])
        const today = localDayOf(request.now, company.zone)
        const body = presentCompany(company, credentials, { today, publicUrl: config.publicUrl })
        // Licences change on their own: the tag is made from all that is shown.
        return taggedByContent(request, reply, body)
      },
    )
  }
