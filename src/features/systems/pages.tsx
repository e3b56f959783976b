import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import { hasRole } from '../../platform/auth/actor.ts'
import type { Deps } from '../../platform/deps.ts'
import { formKey, page, withFieldProblems } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { readPartiesOf } from '../../standing/work-parties.ts'
import { type FieldFault, faultsFrom } from '../../web/error-summary.tsx'
import { Field } from '../../web/field.tsx'
import { Form } from '../../web/form.tsx'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { dateReadingFor, needed, type TypedFields, textIn } from '../../web/typed-fields.ts'
import { WorkParties } from '../../web/work-parties.tsx'
import { AdditionForm, additionTitles } from './addition-forms.tsx'
import { addParts, voidSystem } from './change-system.ts'
import { installSystem } from './install-system.ts'
import { systemHome } from './page-queries.ts'
import { readSystem } from './queries.ts'
import { type Addition, additions, readAddition, readNewSystem } from './read-system-form.ts'
import { SystemForm } from './system-form.tsx'
import { SystemView } from './system-view.tsx'

const config = { page: ['owner', 'office', 'crew'] as const }
const params = z.strictObject({ id: z.uuid() })

/** Pages about a system: recording it, looking at it, adding what happened. */
export const systemsPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.newSystem(':id'), { config, schema: { params } }, async (request, reply) =>
      newSystemPage(request, reply, request.params.id, {}),
    )

    app.post(paths.newSystem(':id'), { config, schema: { params } }, async (request, reply) => {
      const typed = request.body as TypedFields
      const home = await systemHome(db, act(request), request.params.id)
      const read = readNewSystem(typed, dateReadingFor(home, request.now))
      if (!read.ok) return newSystemPage(request, reply, home.id, typed, read.faults)
      const made = await withFieldProblems(() =>
        submitting(request, reply, async tx =>
          paths.system((await installSystem(tx, act(request), home.id, read.value)).systemId),
        ),
      )
      return made.ok ? reply : newSystemPage(request, reply, home.id, typed, faultsFrom(made.problems))
    })

    app.get(paths.system(':id'), { config, schema: { params } }, async (request, reply) => {
      const system = await readSystem(db, act(request), request.params.id)
      const who = act(request)
      const office = hasRole(who.actor, 'owner', 'office')
      const [{ frame }, home] = await Promise.all([pageFacts(request), systemHome(db, who, system.propertyId)])
      const work = await readPartiesOf(
        db,
        { subject: 'system', id: system.id, propertyId: system.propertyId },
        request.now,
      )
      return page(
        reply,
        <Frame {...frame} title="System" home={home.address} place="homes">
          <SystemView {...{ system, home, now: request.now, mayUndo: office }} />
          {office ? (
            <WorkParties
              work={{ subject: 'system', id: system.id }}
              {...work}
              today={localDayOf(request.now, home.zone)}
            />
          ) : (
            ''
          )}
        </Frame>,
      )
    })

    for (const kind of additions) {
      app.get(paths.systemStep(':id', kind), { config, schema: { params } }, async (request, reply) =>
        additionPage(request, reply, request.params.id, kind, {}),
      )
      app.post(paths.systemStep(':id', kind), { config, schema: { params } }, async (request, reply) => {
        const typed = request.body as TypedFields
        const { id } = request.params
        const system = await readSystem(db, act(request), id)
        const home = await systemHome(db, act(request), system.propertyId)
        const read = readAddition(kind, typed, dateReadingFor(home, request.now))
        if (!read.ok) return additionPage(request, reply, id, kind, typed, read.faults)
        const made = await withFieldProblems(() =>
          submitting(request, reply, async tx => {
            await addParts(tx, act(request), id, read.value)
            return paths.system(id)
          }),
        )
        return made.ok ? reply : additionPage(request, reply, id, kind, typed, faultsFrom(made.problems))
      })
    }

    app.get(paths.systemStep(':id', 'void'), { config, schema: { params } }, async (request, reply) =>
      voidPage(request, reply, request.params.id),
    )

    app.post(paths.systemStep(':id', 'void'), { config, schema: { params } }, async (request, reply) => {
      const typed = request.body as TypedFields
      const faults: FieldFault[] = []
      const reason = textIn(typed, 'reason') || needed(faults, 'reason', 'Say why: the reason stays in the history')
      if (!reason) return voidPage(request, reply, request.params.id, faults)
      const version = Number(textIn(typed, 'version'))
      await db.transaction(tx => voidSystem(tx, act(request), request.params.id, version, reason))
      return reply.redirect(paths.system(request.params.id), 303)
    })

    async function newSystemPage(
      request: FastifyRequest,
      reply: FastifyReply,
      homeId: string,
      typed: TypedFields,
      faults: readonly FieldFault[] = [],
    ) {
      const [{ frame }, home] = await Promise.all([pageFacts(request), systemHome(db, act(request), homeId)])
      if (faults.length) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="Record a system" home={home.address} place="homes" faulty={faults.length > 0}>
          <h1>Record a system</h1>
          <p class="under-title" safe>
            {home.address}
          </p>
          <SystemForm {...{ home, typed, faults, csrf: frame.csrf }} formKey={textIn(typed, '_key') || formKey()} />
        </Frame>,
      )
    }

    async function additionPage(
      request: FastifyRequest,
      reply: FastifyReply,
      systemId: string,
      kind: Addition,
      typed: TypedFields,
      faults: readonly FieldFault[] = [],
    ) {
      const system = await readSystem(db, act(request), systemId)
      const [facts, home] = await Promise.all([pageFacts(request), systemHome(db, act(request), system.propertyId)])
      const { frame, pressureUnit } = facts
      if (faults.length) reply.code(422)
      const formProps = { systemId, kind, typed, faults, pressureUnit, csrf: frame.csrf }
      return page(
        reply,
        <Frame {...frame} title={additionTitles[kind]} home={home.address} place="homes" faulty={faults.length > 0}>
          <h1 safe>{additionTitles[kind]}</h1>
          <p class="under-title" safe>
            {home.address}
          </p>
          <AdditionForm {...formProps} formKey={textIn(typed, '_key') || formKey()} />
        </Frame>,
      )
    }

    async function voidPage(
      request: FastifyRequest,
      reply: FastifyReply,
      id: string,
      faults: readonly FieldFault[] = [],
    ) {
      const system = await readSystem(db, act(request), id)
      const [{ frame }, home] = await Promise.all([pageFacts(request), systemHome(db, act(request), system.propertyId)])
      if (faults.length) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="Void this system" home={home.address} place="homes" faulty={faults.length > 0}>
          <h1>Void this system</h1>
          <p class="under-title" safe>
            {home.address}
          </p>
          <Form
            {...{ faults, csrf: frame.csrf, version: system.version }}
            action={paths.systemStep(id, 'void')}
            submit="Void it"
            grave
            cancel={{ href: paths.system(id) }}
          >
            <p>It stays in the history, struck through; the home's standing is worked out without it.</p>
            <Field name="reason" label="Why" faults={faults} />
          </Form>
        </Frame>,
      )
    }
  }
