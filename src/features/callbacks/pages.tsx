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
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { needed, type TypedFields, textIn } from '../../web/typed-fields.ts'
import { WorkParties } from '../../web/work-parties.tsx'
import { answersIn, askedIn } from './answers-form.tsx'
import { askedAgain } from './asked-again.ts'
import { callersOf } from './call-people.tsx'
import { readCall } from './call-queries.ts'
import { CallbackForm, CallbackView } from './callback-views.tsx'
import { callbackHome, callerIn } from './page-queries.ts'
import { readCallback } from './queries.ts'
import { closeCallback, recordCallback } from './record-callback.ts'
import { channel, complaint } from './schemas.ts'

const config = { page: ['owner', 'office', 'crew'] as const }
const params = z.strictObject({ id: z.uuid() })

export const callbacksPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.newCallback(':id'), { config, schema: { params } }, async (request, reply) =>
      newCallbackPage(request, reply, request.params.id, {}),
    )

    app.post(paths.newCallback(':id'), { config, schema: { params } }, async (request, reply) => {
      const typed = request.body as TypedFields
      const { id } = request.params
      const faults: FieldFault[] = []
      const reported =
        complaint.safeParse(textIn(typed, 'complaint')).data ?? needed(faults, 'complaint', 'Choose what is reported')
      if (!reported) return newCallbackPage(request, reply, id, typed, faults)
      const input = {
        complaint: reported,
        systemId: textIn(typed, 'system') || null,
        ...(await callerIn(db, id, typed)),
        answers: answersIn(typed),
        channel: channel.safeParse(textIn(typed, 'channel')).data ?? 'phone',
        description: textIn(typed, 'description'),
      }
      const made = await withFieldProblems(() =>
        submitting(request, reply, async tx =>
          paths.callback((await recordCallback(tx, act(request), id, input)).callbackId),
        ),
      )
      return made.ok ? reply : newCallbackPage(request, reply, id, typed, faultsFrom(made.problems))
    })

    app.get(paths.callback(':id'), { config, schema: { params } }, async (request, reply) =>
      callbackPage(request, reply, request.params.id, {}),
    )

    app.post(paths.callbackStep(':id', 'closing'), { config, schema: { params } }, async (request, reply) => {
      const typed = request.body as TypedFields
      const { id } = request.params
      const faults: FieldFault[] = []
      const found = textIn(typed, 'found') || needed(faults, 'found', 'Say what was found')
      const done = textIn(typed, 'done') || needed(faults, 'done', 'Say what was done')
      if (!found || !done) return callbackPage(request, reply, id, typed, faults)
      const version = Number(textIn(typed, 'version'))
      await db.transaction(tx => closeCallback(tx, act(request), id, version, { found, done }))
      return reply.redirect(paths.callback(id), 303)
    })

    async function newCallbackPage(
      request: FastifyRequest,
      reply: FastifyReply,
      homeId: string,
      typed: TypedFields,
      faults: readonly FieldFault[] = [],
    ) {
      const who = act(request)
      const [{ frame }, home] = await Promise.all([pageFacts(request), callbackHome(db, who, homeId)])
      // A form with questions is that of the call, which crews do not have.
      const sent = askedIn(typed)
      const call = sent.length > 0 && hasRole(who.actor, 'owner', 'office') ? await readCall(db, who, homeId) : null
      const today = localDayOf(request.now, home.zone)
      const asked = call ? askedAgain(sent, call, textIn(typed, 'system'), today) : sent
      if (faults.length) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="Take a callback" home={home.address} place="homes" faulty={faults.length > 0}>
          <h1>Take a callback</h1>
          <CallbackForm
            {...{ home, typed, faults, csrf: frame.csrf, asked }}
            callers={call ? callersOf(call) : []}
            formKey={textIn(typed, '_key') || formKey()}
          />
        </Frame>,
      )
    }

    async function callbackPage(
      request: FastifyRequest,
      reply: FastifyReply,
      id: string,
      typed: TypedFields,
      faults: readonly FieldFault[] = [],
    ) {
      const who = act(request)
      const [{ frame }, callback] = await Promise.all([pageFacts(request), readCallback(db, who, id)])
      const work = await readPartiesOf(db, { subject: 'callback', id, propertyId: callback.propertyId }, request.now)
      if (faults.length) reply.code(422)
      return page(
        reply,
        <Frame
          {...frame}
          title={`Callback no. ${callback.number}`}
          home={callback.address}
          place="homes"
          faulty={faults.length > 0}
        >
          <CallbackView {...{ callback, typed, faults, csrf: frame.csrf, formKey: formKey(), now: request.now }} />
          {hasRole(who.actor, 'owner', 'office') ? (
            <>
              <WorkParties
                work={{ subject: 'callback', id: callback.id }}
                {...work}
                today={localDayOf(request.now, callback.zone)}
              />
              <p>
                <a href={paths.putRight('callback', callback.id)}>
                  Put right: it belongs elsewhere, or should not count
                </a>
              </p>
            </>
          ) : (
            ''
          )}
        </Frame>,
      )
    }
  }
