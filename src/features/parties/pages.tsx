import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { Deps } from '../../platform/deps.ts'
import { formKey, page, withFieldProblems } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { notFound } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { readPartiesOf } from '../../standing/work-parties.ts'
import { type FieldFault, faultsFrom } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { readTypedDate } from '../../web/read-typed-date.ts'
import { dateReadingFor, needed, type TypedFields, textIn } from '../../web/typed-fields.ts'
import { PartiesView } from './party-forms.tsx'
import { choosable, findWork, listParties } from './queries.ts'
import { readPartyForm, type TakeUpCustomer, whoIsMeant } from './read-party-form.ts'
import { addParty, endParty, voidParty } from './record-party.ts'
import { workSubject } from './schemas.ts'

const config = { page: ['owner', 'office'] as const }
const params = z.strictObject({ subject: workSubject, id: z.uuid() })
const stepParams = z.strictObject({ subject: workSubject, id: z.uuid(), partyId: z.uuid() })

/** Who ordered a piece of work, who pays, who may see its result. `takeUp` is the customers' own verb. */
export const partiesPages =
  ({ db }: Deps, takeUp: TakeUpCustomer): FastifyPluginAsyncZod =>
  async app => {
    const url = paths.workParties(':subject', ':id')

    app.get(url, { config, schema: { params } }, async (request, reply) =>
      partiesPage(request, reply, request.params, {}),
    )

    app.post(url, { config, schema: { params } }, async (request, reply) => {
      const typed = request.body as TypedFields
      const work = await workOf(request, request.params)
      const faults: FieldFault[] = []
      const said = readPartyForm(typed, dateReadingFor(work, request.now), faults)
      if (!said || faults.length > 0) return partiesPage(request, reply, work, typed, faults)
      const made = await withFieldProblems(() =>
        submitting(request, reply, async tx => {
          const who = act(request)
          const customerId = await whoIsMeant(tx, who, said.somebody, takeUp)
          await addParty(tx, who, work.propertyId, {
            ...said.party,
            customerId,
            subject: work.subject,
            subjectId: work.id,
          })
          return paths.workParties(work.subject, work.id)
        }),
      )
      return made.ok ? reply : partiesPage(request, reply, work, typed, faultsFrom(made.problems))
    })

    app.post(
      paths.workPartyStep(':subject', ':id', ':partyId', 'end'),
      { config, schema: { params: stepParams } },
      async (request, reply) => {
        const work = await workOf(request, request.params)
        const name = `lastOn-${request.params.partyId.slice(-6)}`
        const read = readTypedDate(textIn(request.body as TypedFields, name), dateReadingFor(work, request.now))
        if (!read.ok)
          return partiesPage(request, reply, work, request.body as TypedFields, [{ name, message: read.fault }])
        return changing(request, reply, name, (tx, who, ids, version) => endParty(tx, who, ids, version, read.day))
      },
    )

    app.post(
      paths.workPartyStep(':subject', ':id', ':partyId', 'void'),
      { config, schema: { params: stepParams } },
      async (request, reply) => {
        const name = `reason-${request.params.partyId.slice(-6)}`
        const reason = textIn(request.body as TypedFields, name).slice(0, 500)
        const faults: FieldFault[] = []
        if (reason === '') needed(faults, name, 'Say why it was a mistake')
        if (faults.length > 0) return partiesPage(request, reply, request.params, request.body as TypedFields, faults)
        return changing(request, reply, name, (tx, who, ids, version) => voidParty(tx, who, ids, version, reason))
      },
    )

    type Step = (tx: Tx, who: Act, ids: { propertyId: string; partyId: string }, version: number) => Promise<void>
    async function changing(request: FastifyRequest, reply: FastifyReply, field: string, verb: Step) {
      const of = request.params as z.output<typeof stepParams>
      const work = await workOf(request, of)
      const version = Number(textIn(request.body as TypedFields, 'version'))
      const ids = { propertyId: work.propertyId, partyId: of.partyId }
      const made = await withFieldProblems(() => db.transaction(tx => verb(tx, act(request), ids, version)))
      if (made.ok) return reply.redirect(paths.workParties(work.subject, work.id), 303)
      const faults = made.problems.map(({ message }) => ({ name: field, message }))
      return partiesPage(request, reply, work, request.body as TypedFields, faults)
    }

    type Of = Pick<z.output<typeof params>, 'subject' | 'id'>
    async function workOf(request: FastifyRequest, { subject, id }: Of) {
      const work = await findWork(db, act(request), subject, id)
      if (!work) throw notFound(subject)
      return work
    }

    async function partiesPage(
      request: FastifyRequest,
      reply: FastifyReply,
      of: Of,
      typed: TypedFields,
      faults: readonly FieldFault[] = [],
    ) {
      const work = await workOf(request, of)
      const [{ frame }, parties, { owner }, people] = await Promise.all([
        pageFacts(request),
        listParties(db, work.propertyId, work.subject, work.id),
        readPartiesOf(db, work, request.now),
        choosable(db, work.propertyId),
      ])
      if (faults.length > 0) reply.code(422)
      return page(
        reply,
        <Frame
          {...frame}
          title={`Who ordered, pays, may see the ${work.subject}`}
          home={work.address}
          place="homes"
          faulty={faults.length > 0}
        >
          <PartiesView
            {...{ work, parties, owner, people, typed, faults, csrf: frame.csrf }}
            today={localDayOf(request.now, work.zone)}
            formKey={textIn(typed, '_key') || formKey()}
          />
        </Frame>,
      )
    }
  }
