import type { FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import { hasRole } from '../../platform/auth/actor.ts'
import type { Deps } from '../../platform/deps.ts'
import { page } from '../../platform/http/forms.ts'
import { notFound } from '../../platform/http/problem.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { listPolicies } from './queries.ts'
import { RuleView } from './rule-view.tsx'
import { RulesView } from './rules-view.tsx'

// Rule sets are few; a page shows them all.
const most = 500
const config = { page: ['owner', 'office', 'crew'] as const }
const schema = {
  params: z.strictObject({ code: z.string().max(60) }),
  querystring: z.strictObject({ from: z.string().max(10).optional() }),
}

export const policiesPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.rules(), { config }, async (request, reply) => {
      const { frame, zone } = await pageFacts(request)
      const policies = await listPolicies(db, null, most)
      return page(
        reply,
        <Frame {...frame} title="Rules" place="rules" wide>
          <RulesView policies={policies} today={localDayOf(request.now, zone)} drafts={draftsFor(request)} />
        </Frame>,
      )
    })

    app.get('/rules/:code', { config, schema }, async (request, reply) => {
      const { code } = request.params
      const { frame, zone } = await pageFacts(request)
      const versions = (await listPolicies(db, null, most)).filter(policy => policy.code === code)
      const wanted = request.query.from ?? localDayOf(request.now, zone)
      const policy = versions.findLast(version => version.effectiveFrom <= wanted) ?? versions[0]
      if (!policy) throw notFound('rule set')
      return page(
        reply,
        <Frame {...frame} title={policy.title} place="rules" wide>
          <RuleView policy={policy} versions={versions} drafts={draftsFor(request)} />
        </Frame>,
      )
    })
  }

const draftsFor = ({ actor }: FastifyRequest) => actor !== null && hasRole(actor, 'owner')
