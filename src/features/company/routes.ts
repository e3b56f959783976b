import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { Deps } from '../../platform/deps.ts'
import { tagged } from '../../platform/http/etag.ts'
import { presentCompany } from './present.ts'
import { readCompany } from './queries.ts'
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
        const company = await readCompany(db)
        return tagged(request, reply, company.version, presentCompany(company, config.publicUrl))
      },
    )
  }
