import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { z } from 'zod'
import type { Deps } from '../../platform/deps.ts'
import { page, readForm } from '../../platform/http/forms.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { changeCompany, releaseReminders } from './change-company.ts'
import type { CompanyTyped, CompanyViewProps } from './company-shown.ts'
import { CompanyView } from './company-view.tsx'
import { type CompanySettings, readCompany } from './queries.ts'
import { cautionForm, companyForm, crewForm, licencesForm, mailForm, releaseForm } from './schemas.ts'
import { durationsForm, electricityForm, fansForm, hoursForm } from './working-schemas.ts'

export const ownerOnly = { page: ['owner'] as const }
type Failed = CompanyViewProps['failed']

/** What the company says of itself and how it wants to work; each group of settings is a form of its own. */
export const companyPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.company(), { config: ownerOnly }, (request, reply) => companyPage(request, reply))

    settings('', 'company', companyForm)
    settings('/crews', 'crew', crewForm)
    settings('/mails', 'mail', mailForm)
    settings('/caution', 'caution', cautionForm)
    settings('/licences', 'licences', licencesForm)
    settings('/hours', 'hours', hoursForm)
    settings('/durations', 'durations', durationsForm)
    settings('/fans', 'fans', fansForm)
    settings('/electricity', 'electricity', electricityForm)

    app.post(`${paths.company()}/reminders`, { config: ownerOnly }, async (request, reply) => {
      const { version, released } = releaseForm.parse(withoutToken(request.body))
      await db.transaction(tx => releaseReminders(tx, act(request), version, released === 'yes'))
      return reply.redirect(`${paths.company()}#reminders`, 303)
    })

    function settings(
      path: string,
      form: NonNullable<Failed>['form'],
      schema: z.ZodType<Partial<CompanySettings> & { version: number }>,
    ): void {
      app.post(`${paths.company()}${path}`, { config: ownerOnly }, async (request, reply) => {
        const read = readForm(schema, request.body)
        if (!read.ok) {
          const faults = read.problems.map(({ field, message }) => ({ name: field.split('.')[0] ?? '', message }))
          return companyPage(request, reply.code(422), { form, faults, typed: read.typed as CompanyTyped })
        }
        const { version, ...change } = read.data
        await db.transaction(tx => changeCompany(tx, act(request), version, change))
        return reply.redirect(paths.company(), 303)
      })
    }
  }

const withoutToken = (body: unknown) => {
  const { _csrf, ...rest } = body as Record<string, unknown>
  return rest
}

/** The page of the company, with the form that came back, if one did. */
export async function companyPage(request: FastifyRequest, reply: FastifyReply, failed?: Failed) {
  const { frame } = await pageFacts(request)
  const company = await readCompany(request.deps.db)
  return page(
    reply,
    <Frame {...frame} title="The company" place="office" faulty={Boolean(failed)}>
      <CompanyView company={company} csrf={frame.csrf} failed={failed} />
    </Frame>,
  )
}
