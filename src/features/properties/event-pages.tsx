import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { instantOn } from '../../domain/calendar/local-day.ts'
import type { Deps } from '../../platform/deps.ts'
import { type FieldProblem, formKey, page, readForm, withFieldProblems } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { act } from '../../platform/http/request-facts.ts'
import { filledText, id } from '../../platform/http/scalars.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { readEvents } from './event-queries.ts'
import { EventsView } from './event-view.tsx'
import { faultsOf, partPrefix, unprefixed } from './form-page.ts'
import type { HomeTyped } from './home-fields.tsx'
import { streetOf } from './home-view.tsx'
import { homeParams } from './page-schemas.ts'
import { newHomeEvent } from './people-schemas.ts'
import { readProperty } from './queries.ts'
import { recordEvent, voidEvent } from './record-event.ts'
import { removalForm } from './room-forms.ts'
import { typedDay } from './typed-day.ts'

const config = { page: ['owner', 'office'] as const }
const ofHome = { config, schema: { params: homeParams } }
const ofEvent = { config, schema: { params: z.strictObject({ id, eventId: id }) } }
const eventForm = newHomeEvent.omit({ at: true }).extend({ day: filledText(40).optional() })

export const eventPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.homeEvents(':id'), ofHome, async (request, reply) =>
      eventsPage(request, reply, request.params.id, {}),
    )

    app.post(paths.homeEvents(':id'), ofHome, async (request, reply) => {
      const { id: homeId } = request.params
      const typed = request.body as HomeTyped
      const read = readForm(eventForm, request.body)
      if (!read.ok) return eventsPage(request, reply, homeId, typed, read.problems)
      const { day: typedText, ...event } = read.data
      const made = await withFieldProblems(async () => {
        const home = await readProperty(db, act(request), homeId)
        const day = typedDay(typedText, home, request.now, '/day')
        // A day alone is kept as its beginning, so that what happened today is not still to come.
        const at = day === null ? null : instantOn(day, '00:00', home.zone)
        await submitting(request, reply, async tx => {
          await recordEvent(tx, act(request), homeId, { ...event, at })
          return paths.home(homeId)
        })
      })
      return made.ok ? reply : eventsPage(request, reply, homeId, typed, made.problems)
    })

    app.post(`${paths.homeEvents(':id')}/:eventId/void`, ofEvent, async (request, reply) => {
      const { id: homeId, eventId } = request.params
      const prefix = partPrefix(eventId)
      const read = readForm(removalForm, unprefixed(request.body, prefix))
      if (!read.ok) {
        const problems = read.problems.map(({ field, message }) => ({ field: `${prefix}${field}`, message }))
        return eventsPage(request, reply, homeId, request.body as HomeTyped, problems, eventId)
      }
      const { version, why } = read.data
      await db.transaction(tx => voidEvent(tx, act(request), homeId, eventId, version, why))
      return reply.redirect(paths.homeEvents(homeId), 303)
    })

    async function eventsPage(
      request: FastifyRequest,
      reply: FastifyReply,
      homeId: string,
      typed: HomeTyped,
      problems?: readonly FieldProblem[],
      voiding: string | null = null,
    ) {
      const home = await readProperty(db, act(request), homeId)
      const events = await readEvents(db, homeId)
      const { frame } = await pageFacts(request)
      if (problems) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="Changes to a home" home={streetOf(home)} place="homes" faulty={problems !== undefined}>
          <EventsView
            {...{ homeId, events, typed, voiding, zone: home.zone, csrf: frame.csrf, formKey: formKey() }}
            faults={faultsOf(problems, { at: 'day' })}
          />
        </Frame>,
      )
    }
  }
