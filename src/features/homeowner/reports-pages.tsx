import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Deps } from '../../platform/deps.ts'
import { type FieldProblem, formKey, page, withFieldProblems } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import type { TypedFields } from '../../web/typed-fields.ts'
import { readReportById, reportsIn } from './report-queries.ts'
import { ReportsView, ReportView } from './reports-view.tsx'
import { type Accepted, type AcceptWith, acceptReport, dismissReport, reopenReport } from './settle-report.ts'

const config = { page: ['owner', 'office'] as const }
const params = z.strictObject({ id: z.uuid() })
const listQuery = z.strictObject({ state: z.enum(['new', 'accepted', 'dismissed']).default('new') })
const versioned = z.object({ version: z.coerce.number().int().min(1) })

/** What homeowners sent: the office takes it up, lays it aside, or takes either back. */
export const reportsPages =
  ({ db }: Deps, acceptWith: AcceptWith): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.reports(), { config, schema: { querystring: listQuery } }, async (request, reply) => {
      const { state } = request.query
      const [{ frame, zone }, reports] = await Promise.all([pageFacts(request), reportsIn(db, state)])
      return page(
        reply,
        <Frame {...frame} title="What homeowners sent" place="ledger">
          <ReportsView state={state} reports={reports} today={localDayOf(request.now, zone)} />
        </Frame>,
      )
    })

    app.get(paths.report(':id'), { config, schema: { params } }, async (request, reply) =>
      reportPage(request, reply, request.params.id),
    )

    app.post(paths.reportStep(':id', 'accept'), { config, schema: { params } }, async (request, reply) => {
      const typed = request.body as TypedFields
      const given = { id: request.params.id, version: versioned.parse(typed).version, typed }
      const made = await withFieldProblems(() =>
        submitting(request, reply, async tx =>
          placeOf(await acceptReport(tx, act(request), given, acceptWith), given.id),
        ),
      )
      return made.ok ? reply : reportPage(request, reply, given.id, typed, made.problems)
    })

    app.post(paths.reportStep(':id', 'dismiss'), { config, schema: { params } }, async (request, reply) =>
      submitting(request, reply, async tx => {
        await dismissReport(tx, act(request), request.params.id, versioned.parse(request.body).version)
        return paths.reports()
      }),
    )

    app.post(paths.reportStep(':id', 'reopen'), { config, schema: { params } }, async (request, reply) =>
      submitting(request, reply, async tx => {
        await reopenReport(tx, act(request), request.params.id, versioned.parse(request.body).version)
        return paths.report(request.params.id)
      }),
    )

    async function reportPage(
      request: FastifyRequest,
      reply: FastifyReply,
      id: string,
      typed: TypedFields = {},
      problems: readonly FieldProblem[] = [],
    ) {
      const [{ frame }, report] = await Promise.all([pageFacts(request), readReportById(db, id)])
      const faults = problems.map(({ field, message }) => ({ name: field, message }))
      if (faults.length > 0) reply.code(422)
      const shown = { report, typed, faults, csrf: frame.csrf, formKey: formKey() }
      return page(
        reply,
        <Frame {...frame} title="What a homeowner sent" home={report.address} place="ledger" faulty={faults.length > 0}>
          <ReportView {...shown} today={localDayOf(request.now, report.zone)} />
        </Frame>,
      )
    }
  }

/** The page of what was made; an ownership shows on its report. */
const placeOf = ({ noun, id }: Accepted, reportId: string): string =>
  noun === 'ownership' ? paths.report(reportId) : paths[noun](id)
