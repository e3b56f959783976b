import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { localDayOf } from '../domain/calendar/local-day.ts'
import { readApart } from '../features/customers/apart-queries.ts'
import { doublesOf } from '../features/customers/find-doubles.ts'
import { listCustomers, readCustomer } from '../features/customers/queries.ts'
import type { Deps } from '../platform/deps.ts'
import { page, readForm, withFieldProblems } from '../platform/http/forms.ts'
import { notFound } from '../platform/http/problem.ts'
import { act } from '../platform/http/request-facts.ts'
import { pageFacts } from '../standing/page-facts.ts'
import { type FieldFault, faultsFrom } from '../web/error-summary.tsx'
import { Frame } from '../web/frame.tsx'
import { paths } from '../web/paths.ts'
import type { TypedFields } from '../web/typed-fields.ts'
import { detailChoice, mergeCustomersIn } from './kinds/merge-customers-body.ts'
import { MergePersonForm } from './merge-person-form.tsx'
import { OtherEntry } from './other-entry-view.tsx'
import { previewOrDo } from './preview-page.tsx'

const config = { page: ['owner', 'office'] as const }
const params = z.strictObject({ id: z.uuid() })
const querystring = z.strictObject({ with: z.uuid().optional(), q: z.string().trim().max(100).optional() })
const typedMerge = detailChoice.extend({ with: z.uuid(), reason: mergeCustomersIn.shape.reason }).strip()
const most = 20

/** A person who was entered twice: the other entry is found, the two are looked at side by side, and become one. */
export const mergePersonPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.mergePerson(':id'), { config, schema: { params, querystring } }, async (request, reply) => {
      const { with: intoId, q = '' } = request.query
      if (intoId) return formPage(request, reply, { id: request.params.id, intoId, typed: {}, faults: [] })
      return otherPage(request, reply, request.params.id, q)
    })

    app.post(paths.mergePerson(':id'), { config, schema: { params } }, async (request, reply) => {
      const { id } = request.params
      const typed = request.body as TypedFields
      const read = readForm(typedMerge, request.body)
      const intoId = z.uuid().safeParse(typed.with).data
      if (!intoId) throw notFound('customer')
      if (!read.ok) return formPage(request, reply, { id, intoId, typed, faults: faultsFrom(read.problems) })
      const { with: _, reason, ...choose } = read.data
      const shown = await withFieldProblems(() =>
        previewOrDo(
          request,
          reply,
          { kind: 'merge-customers', id, intoId, choose, reason },
          paths.mergePerson(id, intoId),
        ),
      )
      if (shown.ok) return reply
      const faults = shown.problems.map(({ message }) => ({ name: 'note', message }))
      return formPage(request, reply, { id, intoId, typed, faults })
    })

    async function otherPage(request: FastifyRequest, reply: FastifyReply, id: string, q: string) {
      const who = act(request)
      const person = await readCustomer(db, who, id)
      const [doubles, found, { frame, country }] = await Promise.all([
        doublesOf(db, id),
        q ? listCustomers(db, who, { name: q, after: null, limit: most }) : [],
        pageFacts(request),
      ])
      const others = found.filter(one => one.id !== id).slice(0, most)
      return page(
        reply,
        <Frame {...frame} title="Entered twice" place="people">
          <OtherEntry {...{ person, doubles, others, q, country }} />
        </Frame>,
      )
    }

    type Asked = {
      readonly id: string
      readonly intoId: string
      readonly typed: TypedFields
      readonly faults: readonly FieldFault[]
    }
    async function formPage(request: FastifyRequest, reply: FastifyReply, { id, intoId, typed, faults }: Asked) {
      const who = act(request)
      const [doubled, kept] = [await readCustomer(db, who, id), await readCustomer(db, who, intoId)]
      const [apart, { frame, country, zone }] = await Promise.all([readApart(db, id, intoId), pageFacts(request)])
      if (faults.length > 0) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="Make two entries one" place="people" faulty={faults.length > 0} wide>
          <MergePersonForm
            {...{ doubled, kept, apart, typed, faults, country, zone, csrf: frame.csrf }}
            today={localDayOf(request.now, zone)}
          />
        </Frame>,
      )
    }
  }
