import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import { hasRole } from '../../platform/auth/actor.ts'
import type { Deps } from '../../platform/deps.ts'
import { type FieldProblem, formKey, page, readForm, withFieldProblems } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { differences, isOvertaken } from '../../platform/http/overtaken.ts'
import { pageCursor, readPageCursor, textAndId } from '../../platform/http/page-cursor.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { faultsFrom } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { apartFrom } from './apart-queries.ts'
import { correctCustomer, voidCustomer } from './correct-customer.ts'
import { createCustomer } from './create-customer.ts'
import { doublesOf } from './find-doubles.ts'
import { correctionForm, customerForm, pageParams, peopleQuery, voidForm } from './form-schema.ts'
import { formerDetailsOf } from './merge-queries.ts'
import { readAround } from './page-queries.ts'
import { PeopleView } from './people-view.tsx'
import { PersonForm, type PersonTyped } from './person-form.tsx'
import { PersonView } from './person-view.tsx'
import { type Customer, listCustomers, readCustomer } from './queries.ts'

const perPage = 50
const fields = [
  'name',
  'email',
  'phone',
  'street',
  'city',
  'region',
  'postcode',
  'country',
  'preferredChannel',
  'language',
  'note',
]
const office = { page: ['owner', 'office'] as const }

export const customersPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.people(), { config: office, schema: { querystring: peopleQuery } }, async (request, reply) => {
      const { q = '', after } = request.query
      const { frame, country } = await pageFacts(request)
      const list = { ...(q ? { name: q } : {}), after: readPageCursor(textAndId, after), limit: perPage }
      const rows = await listCustomers(db, act(request), list)
      const people = rows.slice(0, perPage)
      const last = rows.length > perPage ? people.at(-1) : undefined
      const next = last ? paths.people({ q, after: pageCursor([last.name, last.id]) }) : null
      return page(
        reply,
        <Frame {...frame} title="People" place="people" wide>
          <PeopleView people={people} query={q} next={next} country={country} />
        </Frame>,
      )
    })

    app.get(paths.newPerson(), { config: office }, async (request, reply) => newForm(request, reply, {}))

    app.post(paths.newPerson(), { config: office }, async (request, reply) => {
      const read = readForm(customerForm, request.body)
      if (!read.ok) return newForm(request, reply, read.typed, read.problems)
      const made = await withFieldProblems(() =>
        submitting(request, reply, async tx => paths.person((await createCustomer(tx, act(request), read.data)).id)),
      )
      return made.ok ? reply : newForm(request, reply, request.body as PersonTyped, made.problems)
    })

    app.get(paths.person(':id'), { config: office, schema: { params: pageParams } }, async (request, reply) =>
      personPage(request, reply, await readCustomer(db, act(request), request.params.id)),
    )

    app.post(paths.person(':id'), { config: office, schema: { params: pageParams } }, async (request, reply) => {
      const { id } = request.params
      const read = readForm(voidForm, request.body)
      if (!read.ok) return personPage(request, reply, await readCustomer(db, act(request), id), read.problems)
      await db.transaction(tx => voidCustomer(tx, act(request), id, read.data.version, read.data.reason))
      return reply.redirect(paths.person(id), 303)
    })

    app.get(paths.changePerson(':id'), { config: office, schema: { params: pageParams } }, async (request, reply) => {
      const person = await readCustomer(db, act(request), request.params.id)
      return changeForm(request, reply, person.id, typedFrom(person), person.version)
    })

    app.post(paths.changePerson(':id'), { config: office, schema: { params: pageParams } }, async (request, reply) => {
      const { id } = request.params
      const read = readForm(correctionForm, request.body)
      const typed = request.body as PersonTyped
      if (!read.ok) return changeForm(request, reply, id, typed, Number(typed.version), read.problems)
      const { version, patch } = read.data
      const saved = await withFieldProblems(() =>
        db.transaction(tx => correctCustomer(tx, act(request), id, version, patch)),
      ).catch((error: unknown) => {
        if (isOvertaken(error)) return null
        throw error
      })
      if (!saved) {
        const now = await readCustomer(db, act(request), id)
        reply.code(412)
        return changeForm(request, reply, id, typed, now.version, differences(typedFrom(now), typed, fields))
      }
      if (!saved.ok) return changeForm(request, reply, id, typed, version, saved.problems)
      return reply.redirect(paths.person(id), 303)
    })

    async function personPage(
      request: FastifyRequest,
      reply: FastifyReply,
      person: Customer,
      problems?: readonly FieldProblem[],
    ) {
      const { frame, zone, country } = await pageFacts(request)
      const inUse = person.voidedAt === null
      const [around, former, doubles, apart] = await Promise.all([
        readAround(db, person.id),
        formerDetailsOf(db, person.id),
        inUse ? doublesOf(db, person.id) : [],
        inUse ? apartFrom(db, person.id) : [],
      ])
      if (problems) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title={person.name} place="people" faulty={problems !== undefined}>
          <PersonView
            {...{ person, around, former, doubles, apart, zone, country, csrf: frame.csrf }}
            today={localDayOf(request.now, zone)}
            mayChange={hasRole(act(request).actor, 'owner', 'office')}
            faults={problems && faultsFrom(problems)}
          />
        </Frame>,
      )
    }
  }

async function newForm(
  request: FastifyRequest,
  reply: FastifyReply,
  typed: PersonTyped,
  problems?: readonly FieldProblem[],
) {
  const { frame, country } = await pageFacts(request)
  if (problems) reply.code(422)
  return page(
    reply,
    <Frame {...frame} title="Add a person" place="people" faulty={problems !== undefined}>
      <h1>Add a person or company</h1>
      <PersonForm
        typed={problems ? typed : { country, preferredChannel: '' }}
        faults={faultsFrom(problems)}
        csrf={frame.csrf}
        formKey={String(typed._key ?? formKey())}
      />
    </Frame>,
  )
}

async function changeForm(
  request: FastifyRequest,
  reply: FastifyReply,
  id: string,
  typed: PersonTyped,
  version: number,
  problems?: readonly FieldProblem[],
) {
  const { frame } = await pageFacts(request)
  if (problems && reply.statusCode === 200) reply.code(422)
  return page(
    reply,
    <Frame {...frame} title="Correct a person" place="people" faulty={problems !== undefined}>
      <h1>Correct a person or company</h1>
      <PersonForm typed={typed} faults={faultsFrom(problems)} csrf={frame.csrf} existing={{ id, version }} />
    </Frame>,
  )
}

const typedFrom = (person: Customer): PersonTyped => ({
  ...person,
  mailsStopped: person.mailsStoppedAt === null ? '' : 'yes',
})
