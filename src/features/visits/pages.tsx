import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { addDays } from '../../domain/calendar/day-sums.ts'
import { endOfDay, localDayOf, startOfDay } from '../../domain/calendar/local-day.ts'
import { hasRole } from '../../platform/auth/actor.ts'
import type { Deps } from '../../platform/deps.ts'
import { formKey, page, withFieldProblems } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { act } from '../../platform/http/request-facts.ts'
import { localDay } from '../../platform/http/scalars.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { type FieldFault, faultsFrom } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { dateReadingFor, momentIn, needed, type TypedFields, textIn, textsIn } from '../../web/typed-fields.ts'
import { visitHome } from './page-queries.ts'
import { planVisit, reportVisit } from './plan-visit.ts'
import { readVisit, visitsBetween } from './queries.ts'
import { visitOutcome, visitPurpose } from './schemas.ts'
import { DayView, VisitForm, VisitView } from './visit-views.tsx'

const config = { page: ['owner', 'office', 'crew'] as const }
const office = { page: ['owner', 'office'] as const }
const params = z.strictObject({ id: z.uuid() })
const dayQuery = z.strictObject({ on: localDay.optional(), who: z.enum(['me', 'all']).optional() })
const newQuery = z.strictObject({ callback: z.uuid().optional() })

export const visitsPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.day(), { config, schema: { querystring: dayQuery } }, async (request, reply) => {
      const who = act(request)
      const { frame, zone } = await pageFacts(request)
      const day = request.query.on ?? localDayOf(request.now, zone)
      const mine = request.query.who ? request.query.who === 'me' : !hasRole(who.actor, 'owner', 'office')
      const span = { from: startOfDay(day, zone), to: endOfDay(day, zone) + 1, staffId: mine ? who.actor.id : null }
      const visits = await visitsBetween(db, who, span)
      return page(
        reply,
        <Frame {...frame} title="Day" place="day" wide>
          <DayView
            {...{ day, visits, mine }}
            before={addDays(day, -1)}
            after={addDays(day, 1)}
            who={request.query.who}
          />
        </Frame>,
      )
    })

    app.get(
      paths.newVisit(':id'),
      { config: office, schema: { params, querystring: newQuery } },
      async (request, reply) =>
        newVisitPage(
          request,
          reply,
          request.params.id,
          request.query.callback ? { callback: request.query.callback, purpose: 'callback' } : {},
        ),
    )

    app.post(paths.newVisit(':id'), { config: office, schema: { params } }, async (request, reply) => {
      const typed = request.body as TypedFields
      const home = await visitHome(db, act(request), request.params.id)
      const faults: FieldFault[] = []
      const purpose = visitPurpose.safeParse(textIn(typed, 'purpose')).data ?? needed(faults, 'purpose', 'Choose why')
      const startsAt =
        momentIn(typed, 'starts', dateReadingFor(home, request.now), faults) ?? needed(faults, 'starts', 'Say when')
      if (!purpose || startsAt === null) return newVisitPage(request, reply, home.id, typed, faults)
      const input = {
        purpose,
        startsAt,
        callbackId: textIn(typed, 'callback') || null,
        crew: textsIn(typed, 'crew'),
        instructions: textIn(typed, 'instructions'),
      }
      const made = await withFieldProblems(() =>
        submitting(request, reply, async tx => paths.visit(await planVisit(tx, act(request), home.id, input))),
      )
      return made.ok ? reply : newVisitPage(request, reply, home.id, typed, faultsFrom(made.problems))
    })

    app.get(paths.visit(':id'), { config, schema: { params } }, async (request, reply) =>
      visitPage(request, reply, request.params.id, {}),
    )

    app.post(paths.visitStep(':id', 'report'), { config, schema: { params } }, async (request, reply) => {
      const typed = request.body as TypedFields
      const { id } = request.params
      const faults: FieldFault[] = []
      const outcome =
        visitOutcome.exclude(['']).safeParse(textIn(typed, 'outcome')).data ??
        needed(faults, 'outcome', 'Choose how it went')
      if (!outcome) return visitPage(request, reply, id, typed, faults)
      const version = Number(textIn(typed, 'version'))
      const report = { outcome, outcomeNote: textIn(typed, 'note') }
      await db.transaction(tx => reportVisit(tx, act(request), id, version, report))
      return reply.redirect(paths.visit(id), 303)
    })

    async function newVisitPage(
      request: FastifyRequest,
      reply: FastifyReply,
      homeId: string,
      typed: TypedFields,
      faults: readonly FieldFault[] = [],
    ) {
      const [{ frame }, home] = await Promise.all([pageFacts(request), visitHome(db, act(request), homeId)])
      if (faults.length) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="Plan a visit" home={home.address} place="homes" faulty={faults.length > 0}>
          <h1>Plan a visit</h1>
          <VisitForm {...{ home, typed, faults, csrf: frame.csrf }} formKey={textIn(typed, '_key') || formKey()} />
        </Frame>,
      )
    }

    async function visitPage(
      request: FastifyRequest,
      reply: FastifyReply,
      id: string,
      typed: TypedFields,
      faults: readonly FieldFault[] = [],
    ) {
      const [{ frame }, visit] = await Promise.all([pageFacts(request), readVisit(db, act(request), id)])
      if (faults.length) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="Visit" home={visit.address} place="day" faulty={faults.length > 0}>
          <VisitView {...{ visit, typed, faults, csrf: frame.csrf, now: request.now }} />
        </Frame>,
      )
    }
  }
