import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { addDays } from '../../domain/calendar/day-sums.ts'
import { endOfDay, localDayOf, startOfDay } from '../../domain/calendar/local-day.ts'
import { isMonth } from '../../domain/calendar/month.ts'
import { hasRole } from '../../platform/auth/actor.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { Deps } from '../../platform/deps.ts'
import { formKey, page, withFieldProblems } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { act } from '../../platform/http/request-facts.ts'
import { localDay } from '../../platform/http/scalars.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { readPartiesOf } from '../../standing/work-parties.ts'
import { type FieldFault, faultsFrom } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { dateReadingFor, needed, type TypedFields, textIn } from '../../web/typed-fields.ts'
import { WorkParties } from '../../web/work-parties.tsx'
import { DayView } from './day-view.tsx'
import { visitHome } from './page-queries.ts'
import { visitPlace } from './place-queries.ts'
import { correctVisit, planVisit, reportVisit } from './plan-visit.ts'
import { readVisit, type VisitRow, visitsBetween } from './queries.ts'
import { readVisitForm, typedVisit } from './read-visit-form.ts'
import { visitOutcome, visitPurpose } from './schemas.ts'
import { VisitForm } from './visit-form.tsx'
import { VisitView } from './visit-view.tsx'

const config = { page: ['owner', 'office', 'crew'] as const }
const office = { page: ['owner', 'office'] as const }
const params = z.strictObject({ id: z.uuid() })
const dayQuery = z.strictObject({ on: localDay.optional(), who: z.enum(['me', 'all']).optional() })
const mayAssign = (who: Act) => hasRole(who.actor, 'owner', 'office')
const newQuery = z.strictObject({
  callback: z.uuid().optional(),
  purpose: visitPurpose.optional().catch(undefined),
  instructions: z.string().max(4000).optional().catch(undefined),
  /** The month whose list it is booked from, to go back there. */
  month: z.string().refine(isMonth).optional().catch(undefined),
})

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

    app.get(paths.newVisit(':id'), { config, schema: { params, querystring: newQuery } }, async (request, reply) =>
      newVisitPage(
        request,
        reply,
        request.params.id,
        request.query.callback ? { callback: request.query.callback, purpose: 'callback' } : request.query,
      ),
    )

    app.post(paths.newVisit(':id'), { config, schema: { params, querystring: newQuery } }, async (request, reply) => {
      const typed = request.body as TypedFields
      const who = act(request)
      const home = await visitHome(db, who, request.params.id)
      const faults: FieldFault[] = []
      const said = readVisitForm(typed, { ...dateReadingFor(home, request.now), ahead: true }, faults)
      if (!said || faults.length > 0) return newVisitPage(request, reply, home.id, typed, faults)
      // Who is assigned sees the home for longer: a crew cannot give itself that.
      const input = mayAssign(who) ? said : { ...said, crew: [] }
      const made = await withFieldProblems(() =>
        submitting(request, reply, async tx => {
          const visitId = await planVisit(tx, who, home.id, input)
          const { month } = request.query
          return month ? `${paths.month({ month })}#home-${home.id}` : paths.visit(visitId)
        }),
      )
      return made.ok ? reply : newVisitPage(request, reply, home.id, typed, faultsFrom(made.problems))
    })

    app.get(paths.visitStep(':id', 'change'), { config: office, schema: { params } }, async (request, reply) => {
      const visit = await readVisit(db, act(request), request.params.id)
      return changePage(request, reply, visit, typedVisit(visit))
    })

    app.post(paths.visitStep(':id', 'change'), { config: office, schema: { params } }, async (request, reply) => {
      const typed = request.body as TypedFields
      const visit = await readVisit(db, act(request), request.params.id)
      const faults: FieldFault[] = []
      const said = readVisitForm(typed, { ...dateReadingFor(visit, request.now), ahead: true }, faults)
      if (!said || faults.length > 0) return changePage(request, reply, visit, typed, faults)
      const version = Number(textIn(typed, 'version'))
      const made = await withFieldProblems(() =>
        db.transaction(tx => correctVisit(tx, act(request), visit.id, version, said)),
      )
      if (!made.ok) return changePage(request, reply, visit, typed, faultsFrom(made.problems))
      return reply.redirect(paths.visit(visit.id), 303)
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
      const who = act(request)
      const [{ frame }, home] = await Promise.all([pageFacts(request), visitHome(db, who, homeId)])
      const title = mayAssign(who) ? 'Plan a visit' : 'Ask for a visit'
      const { month } = request.query as z.output<typeof newQuery>
      if (faults.length) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title={title} home={home.address} place="homes" faulty={faults.length > 0}>
          <h1 safe>{title}</h1>
          <p class="under-title" safe>
            {home.address}
          </p>
          <VisitForm
            {...{ home, typed, faults, csrf: frame.csrf, mayAssign: mayAssign(who) }}
            action={paths.newVisit(home.id, month ? { month } : {})}
            submit={mayAssign(who) ? 'Plan the visit' : 'Ask for it'}
            cancel={month ? paths.month({ month }) : paths.home(home.id)}
            formKey={textIn(typed, '_key') || formKey()}
          />
        </Frame>,
      )
    }

    async function changePage(
      request: FastifyRequest,
      reply: FastifyReply,
      visit: VisitRow,
      typed: TypedFields,
      faults: readonly FieldFault[] = [],
    ) {
      const [{ frame }, home] = await Promise.all([pageFacts(request), visitHome(db, act(request), visit.propertyId)])
      if (faults.length) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="Change a visit" home={home.address} place="day" faulty={faults.length > 0}>
          <h1>Change a visit</h1>
          <p class="under-title" safe>
            {home.address}
          </p>
          <VisitForm
            {...{ home, typed, faults, csrf: frame.csrf, mayAssign: true, version: visit.version }}
            action={paths.visitStep(visit.id, 'change')}
            submit="Save the visit"
            cancel={paths.visit(visit.id)}
          />
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
      const who = act(request)
      const [{ frame, contacts }, visit] = await Promise.all([pageFacts(request), readVisit(db, who, id)])
      const place = await visitPlace(db, visit.propertyId, contacts)
      const work = await readPartiesOf(db, { subject: 'visit', id, propertyId: visit.propertyId }, request.now)
      if (faults.length) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="Visit" home={visit.address} place="day" faulty={faults.length > 0}>
          <VisitView
            {...{ visit, place, typed, faults, csrf: frame.csrf, now: request.now }}
            mayAssign={mayAssign(who)}
          />
          {mayAssign(who) ? (
            <WorkParties
              work={{ subject: 'visit', id: visit.id }}
              {...work}
              today={localDayOf(request.now, visit.zone)}
            />
          ) : (
            ''
          )}
        </Frame>,
      )
    }
  }
