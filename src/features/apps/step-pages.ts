import type { FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { z } from 'zod'
import { endOfDay } from '../../domain/calendar/local-day.ts'
import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { Deps } from '../../platform/deps.ts'
import { readForm } from '../../platform/http/forms.ts'
import { problem } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { paths } from '../../web/paths.ts'
import { disableApp, revokeSecret } from './change-app.ts'
import { grantHome, withdrawHome } from './grant-home.ts'
import { ownerConfirmed } from './pages.tsx'
import { appParams, appVersionForm, grantEndForm, grantForm, secretForm } from './schemas.ts'

/** What the owner presses on the page of an app. */
export const appStepPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    step('disable', appVersionForm, (tx, who, appId, { version }) => disableApp(tx, who, appId, version, true))
    step('enable', appVersionForm, (tx, who, appId, { version }) => disableApp(tx, who, appId, version, false))
    step('end-secret', secretForm, (tx, who, appId, { secretId }) => revokeSecret(tx, who, appId, secretId))
    step('withdraw', grantEndForm, (tx, who, appId, { grantId }) => withdrawHome(tx, who, appId, grantId))
    step('grant', grantForm, async (tx, who, appId, { propertyId, until }, request) => {
      const { zone } = await pageFacts(request)
      // Until a day means through it: the last millisecond in the company's zone.
      await grantHome(tx, who, appId, { propertyId, until: until ? endOfDay(until, zone) : null })
    })

    function step<S extends z.ZodType>(
      name: string,
      form: S,
      work: (tx: Tx, who: Act, appId: string, data: z.output<S>, request: FastifyRequest) => Promise<void>,
    ): void {
      app.post(
        paths.appStep(':id', name),
        { config: ownerConfirmed, schema: { params: appParams } },
        async (request, reply) => {
          const read = readForm(form, request.body)
          if (!read.ok)
            throw problem(422, 'invalid', read.problems.map(fault => `${fault.field} ${fault.message}`).join('; '))
          await db.transaction(tx => work(tx, act(request), request.params.id, read.data, request))
          return reply.redirect(paths.app(request.params.id), 303)
        },
      )
    }
  }
