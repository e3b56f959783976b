import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { Deps } from '../../platform/deps.ts'
import { type FieldProblem, formKey, page, readForm, type Typed } from '../../platform/http/forms.ts'
import { notFound } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { faultsOf, ownerConfirmed } from './access.ts'
import { changePerson } from './change-person.ts'
import { absoluteLifetime } from './find-session.ts'
import { handOver } from './hand-over.tsx'
import { inviteStaff } from './invite-staff.ts'
import { InviteView, PeopleView, type PersonTyped } from './people-views.tsx'
import { PersonView } from './person-view.tsx'
import { listStaff, type Person, staffById } from './queries.ts'
import { invitationForm, personForm, staffParams } from './schemas.ts'
import { openSessions } from './session-queries.ts'

const typedFrom = (typed: Typed): PersonTyped => ({ ...typed, roles: [typed.roles ?? []].flat() as string[] })

/** The owner's pages of the company's people; what is pressed on a person's page is in person-step-pages.ts. */
export const peoplePages =
  ({ db, mail, config, jobs }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.staff(), { config: ownerConfirmed }, async (request, reply) => {
      const { frame, zone } = await pageFacts(request)
      const people = await listStaff(db)
      return page(
        reply,
        <Frame {...frame} title="People of the company" place="office" wide>
          <PeopleView people={people} zone={zone} />
        </Frame>,
      )
    })

    app.get(paths.inviteStaff(), { config: ownerConfirmed }, async (request, reply) => invitePage(request, reply, {}))

    app.post(paths.inviteStaff(), { config: ownerConfirmed }, async (request, reply) => {
      const read = readForm(invitationForm, request.body)
      if (!read.ok) return invitePage(request, reply, read.typed, read.problems)
      const { frame } = await pageFacts(request)
      const made = await inviteStaff(db, act(request), read.data, {
        config,
        jobs,
        mails: !mail.held,
        company: frame.company,
      })
      if ('taken' in made) return invitePage(request, reply, request.body as Typed, [made.taken])
      return made.secret ? handOver(request, reply, read.data.name, made.secret) : reply.redirect(paths.staff(), 303)
    })

    app.get(
      paths.staffMember(':id'),
      { config: ownerConfirmed, schema: { params: staffParams } },
      async (request, reply) => personPage(request, reply, await there(request.params.id)),
    )

    app.post(
      paths.staffMember(':id'),
      { config: ownerConfirmed, schema: { params: staffParams } },
      async (request, reply) => {
        const person = await there(request.params.id)
        const read = readForm(personForm, request.body)
        if (!read.ok) return personPage(request, reply, person, read)
        const { version, ...change } = read.data
        await db.transaction(tx => changePerson(tx, act(request), person.id, version, change))
        return reply.redirect(paths.staffMember(person.id), 303)
      },
    )

    async function there(staffId: string): Promise<Person> {
      const person = await staffById(db, staffId)
      if (!person) throw notFound('person')
      return person
    }

    async function invitePage(
      request: FastifyRequest,
      reply: FastifyReply,
      typed: Typed,
      problems?: readonly FieldProblem[],
    ) {
      const { frame } = await pageFacts(request)
      if (problems) reply.code(422)
      const shown = { typed: typedFrom(typed), faults: faultsOf(problems), mails: !mail.held }
      return page(
        reply,
        <Frame {...frame} title="Invite somebody" place="office" faulty={Boolean(problems)}>
          <InviteView csrf={frame.csrf} formKey={String(typed._key ?? formKey())} {...shown} />
        </Frame>,
      )
    }

    async function personPage(
      request: FastifyRequest,
      reply: FastifyReply,
      person: Person,
      failed?: { typed: Typed; problems: readonly FieldProblem[] },
    ) {
      const { frame, zone } = await pageFacts(request)
      const { actor } = act(request)
      const sessions = await openSessions(db, person.id, request.now - absoluteLifetime)
      const own = actor.kind === 'staff' ? actor.sessionId : ''
      if (failed) reply.code(422)
      const faulty = failed && { typed: typedFrom(failed.typed), faults: faultsOf(failed.problems) }
      return page(
        reply,
        <Frame {...frame} title={person.name} place="office" faulty={Boolean(failed)}>
          <PersonView {...{ person, sessions, own, zone }} csrf={frame.csrf} {...faulty} />
        </Frame>,
      )
    }
  }
