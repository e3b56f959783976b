import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import type { Deps } from '../../platform/deps.ts'
import { type FieldProblem, formKey, page, readForm, withFieldProblems } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import type { Somebody } from './around-forms.ts'
import { createProperty } from './create-property.ts'
import type { HomeTyped } from './home-fields.tsx'
import { newHomeForm } from './home-forms.ts'
import { NewHomeForm } from './new-home-view.tsx'
import type { NewProperty } from './schemas.ts'
import { settleAddress } from './settle-address.ts'
import { customerMeant, type TakeUpCustomer } from './somebody.ts'
import { typedDay } from './typed-day.ts'

const config = { page: ['owner', 'office'] as const }

type Entered = {
  home: NewProperty
  owner: Somebody
  since: string | null
}

export const newHomePages =
  (_deps: Deps, takeUpCustomer: TakeUpCustomer): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.newHome(), { config }, async (request, reply) => formPage(request, reply, null))

    app.post(paths.newHome(), { config }, async (request, reply) => {
      const typed = request.body as HomeTyped
      const read = readForm(newHomeForm, request.body)
      if (!read.ok) return formPage(request, reply, typed, read.problems)
      const made = await withFieldProblems(async () => {
        const settled = await settleAddress(read.data.home)
        const since = typedDay(read.data.owner.since, settled, request.now, '/ownerSince')
        await submitting(request, reply, tx =>
          enter(tx, act(request), settled, { ...read.data, since }, takeUpCustomer),
        )
      })
      return made.ok ? reply : formPage(request, reply, typed, made.problems)
    })
  }

async function enter(
  tx: Tx,
  by: Act,
  settled: Parameters<typeof createProperty>[2],
  { home, owner, since }: Entered,
  takeUpCustomer: TakeUpCustomer,
): Promise<string> {
  const ownerId = await customerMeant(tx, by, owner, takeUpCustomer)
  const made = await createProperty(tx, by, settled, { ...home, ownerId, ownerSince: since })
  return paths.home(made.id)
}

async function formPage(
  request: FastifyRequest,
  reply: FastifyReply,
  typed: HomeTyped | null,
  problems: readonly FieldProblem[] = [],
) {
  const { frame, country } = await pageFacts(request)
  if (problems.length > 0) reply.code(422)
  return page(
    reply,
    <Frame {...frame} title="Enter a home" place="homes" faulty={problems.length > 0}>
      <h1>Enter a home</h1>
      <NewHomeForm
        typed={typed ?? { country }}
        faults={problems.map(({ field, message }) => ({ name: nameOf(field), message }))}
        csrf={frame.csrf}
        formKey={String(typed?._key ?? formKey())}
      />
    </Frame>,
  )
}

// The person's own verb speaks of `phone`; on this form the field is the owner's.
const nameOf = (field: string): string => (field === 'phone' ? 'ownerPhone' : field)
