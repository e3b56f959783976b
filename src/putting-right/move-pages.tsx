import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { searchHomes } from '../features/search/search-homes.ts'
import type { Deps } from '../platform/deps.ts'
import { page, readForm, withFieldProblems } from '../platform/http/forms.ts'
import { act } from '../platform/http/request-facts.ts'
import { pageFacts } from '../standing/page-facts.ts'
import { type FieldFault, faultsFrom } from '../web/error-summary.tsx'
import { Frame } from '../web/frame.tsx'
import { paths } from '../web/paths.ts'
import { type TypedFields, textIn } from '../web/typed-fields.ts'
import { moveIn } from './kinds/move-body.ts'
import { MoveForm } from './move-form.tsx'
import { previewOrDo } from './preview-page.tsx'
import { recordToPutRight } from './record-to-put-right.ts'

const config = { page: ['owner', 'office'] as const }
const params = z.strictObject({ noun: moveIn.shape.noun, id: z.uuid() })
const querystring = z.strictObject({ q: z.string().max(200).optional() })
const typedMove = moveIn.pick({ intoId: true, reason: true }).strip()
const most = 8

/** A record is moved to the home it belongs to: that home is searched for, then what would change is shown. */
export const movePages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const url = paths.putRightStep(':noun', ':id', 'move')

    app.get(url, { config, schema: { params, querystring } }, (request, reply) =>
      formPage(request, reply, request.params, { typed: { q: request.query.q ?? '' }, faults: [] }),
    )

    app.post(url, { config, schema: { params } }, async (request, reply) => {
      const { noun, id } = request.params
      const typed = request.body as TypedFields
      const read = readForm(typedMove, request.body)
      if (!read.ok) return formPage(request, reply, request.params, { typed, faults: faultsFrom(read.problems) })
      const shown = await withFieldProblems(() =>
        previewOrDo(request, reply, { kind: 'move', noun, id, ...read.data }, paths.putRight(noun, id)),
      )
      if (shown.ok) return reply
      const faults = shown.problems.map(({ message }) => ({ name: 'intoId', message }))
      return formPage(request, reply, request.params, { typed, faults })
    })

    type Again = { readonly typed: TypedFields; readonly faults: readonly FieldFault[] }
    async function formPage(request: FastifyRequest, reply: FastifyReply, of: z.output<typeof params>, again: Again) {
      const who = act(request)
      const record = await recordToPutRight(db, who, of.noun, of.id)
      const q = textIn(again.typed, 'q')
      const hits = q ? await searchHomes(db, who, q, most + 1, () => true) : []
      const homes = hits.filter(home => home.propertyId !== record.propertyId).slice(0, most)
      const { frame } = await pageFacts(request)
      if (again.faults.length > 0) reply.code(422)
      return page(
        reply,
        <Frame
          {...frame}
          title="Move to another home"
          home={record.address}
          place="homes"
          faulty={again.faults.length > 0}
        >
          <MoveForm {...{ ...of, record, q, homes, csrf: frame.csrf, ...again }} />
        </Frame>,
      )
    }
  }
