import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Deps } from '../../platform/deps.ts'
import { formKey, page, readForm, withFieldProblems } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { endForm, ownerForm, personForm } from './around-forms.ts'
import { type AroundBack, AroundView } from './around-view.tsx'
import { changeOwner } from './change-owner.ts'
import { addPerson, endPerson } from './change-people.ts'
import { faultsOf, unprefixed } from './form-page.ts'
import type { HomeTyped } from './home-fields.tsx'
import { streetOf } from './home-view.tsx'
import { homeParams } from './page-schemas.ts'
import { readPeople } from './people-queries.ts'
import { readProperty } from './queries.ts'
import { customerNamed, type TakeUpCustomer } from './somebody.ts'
import { typedDay } from './typed-day.ts'

const ofHome = { config: { page: ['owner', 'office'] as const }, schema: { params: homeParams } }

export const aroundPages =
  ({ db }: Deps, takeUp: TakeUpCustomer): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.homePeople(':id'), ofHome, async (request, reply) =>
      aroundPage(request, reply, request.params.id, null),
    )

    app.post(`${paths.homePeople(':id')}/owner`, ofHome, async (request, reply) => {
      const { id } = request.params
      const back = backTo(request, reply, id, 'owner')
      const read = readForm(ownerForm, unprefixed(request.body, 'owner-'))
      if (!read.ok) return back(read.problems)
      const { name, phone, email, onDay: typed, back: from, ...change } = read.data
      const made = await withFieldProblems(async () => {
        const onDay = typedDay(typed, await readProperty(db, act(request), id), request.now, '/onDay')
        await submitting(request, reply, async tx => {
          const customerId = await customerNamed(tx, act(request), { name, phone, email }, takeUp)
          await changeOwner(tx, act(request), id, { ...change, customerId, onDay })
          return from === 'phone' ? paths.homePhone(id) : paths.home(id)
        })
      })
      return made.ok ? reply : back(made.problems)
    })

    app.post(paths.homePeople(':id'), ofHome, async (request, reply) => {
      const { id } = request.params
      const back = backTo(request, reply, id, 'person')
      const read = readForm(personForm, unprefixed(request.body, 'person-'))
      if (!read.ok) return back(read.problems)
      const { role, fromOn: typed, ...meant } = read.data
      const made = await withFieldProblems(async () => {
        const fromOn = typedDay(typed, await readProperty(db, act(request), id), request.now, '/fromOn')
        await submitting(request, reply, async tx => {
          const customerId = await customerNamed(tx, act(request), meant, takeUp)
          await addPerson(tx, act(request), id, { customerId, role, fromOn })
          return paths.home(id)
        })
      })
      return made.ok ? reply : back(made.problems)
    })

    app.post(`${paths.homePeople(':id')}/ends`, ofHome, async (request, reply) => {
      const { id } = request.params
      const read = readForm(endForm, request.body)
      if (!read.ok) return aroundPage(request, reply, id, null)
      const { personId, version } = read.data
      const home = await readProperty(db, act(request), id)
      const today = localDayOf(request.now, home.zone)
      await db.transaction(tx => endPerson(tx, act(request), { propertyId: id, personId }, version, today))
      return reply.redirect(paths.homePeople(id), 303)
    })

    const backTo =
      (request: FastifyRequest, reply: FastifyReply, id: string, form: AroundBack['form']) =>
      (problems: Parameters<typeof faultsOf>[0] = []) => {
        const faults = problems.map(({ field, message }) => ({ field: field && `${form}-${field}`, message }))
        return aroundPage(request, reply, id, { form, typed: request.body as HomeTyped, faults: faultsOf(faults) })
      }

    async function aroundPage(request: FastifyRequest, reply: FastifyReply, id: string, back: AroundBack | null) {
      const home = await readProperty(db, act(request), id)
      const people = await readPeople(db, id)
      const { frame } = await pageFacts(request)
      if (back) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="People around a home" home={streetOf(home)} place="homes" faulty={back !== null}>
          <AroundView
            homeId={id}
            people={people}
            country={home.country}
            csrf={frame.csrf}
            keys={[formKey(), formKey()]}
            back={back}
          />
        </Frame>,
      )
    }
  }
