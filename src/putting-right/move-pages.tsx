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
import type { CorrectionIn } from './kinds.ts'
import { intoTitle, MoveForm } from './move-form.tsx'
import { previewOrDo } from './preview-page.tsx'
import { nounsOfHome, recordToPutRight, titleOf } from './record-to-put-right.ts'

const config = { page: ['owner', 'office'] as const }
const params = {
  move: z.strictObject({ noun: z.enum(nounsOfHome), id: z.uuid() }),
  merge: z.strictObject({ id: z.uuid() }),
}
const querystring = z.strictObject({ q: z.string().max(200).optional() })
const typedInto = moveIn.pick({ intoId: true, reason: true }).strip()
const most = 8

type Of =
  | { readonly step: 'move'; readonly noun: (typeof nounsOfHome)[number]; readonly id: string }
  | { readonly step: 'merge'; readonly noun: 'property'; readonly id: string }

/** A record goes to the home it belongs to, or a doubled home into the other: that home is searched for, then what would change is shown. */
export const movePages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const move = { config, schema: { params: params.move, querystring } }
    app.get(paths.putRightStep(':noun', ':id', 'move'), move, (request, reply) =>
      formPage(request, reply, { step: 'move', ...request.params }, searched(request.query.q)),
    )
    app.post(
      paths.putRightStep(':noun', ':id', 'move'),
      { config, schema: { params: params.move } },
      (request, reply) => taken(request, reply, { step: 'move', ...request.params }),
    )

    const merge = { config, schema: { params: params.merge, querystring } }
    app.get(paths.putRightStep('property', ':id', 'merge'), merge, (request, reply) =>
      formPage(request, reply, { step: 'merge', noun: 'property', ...request.params }, searched(request.query.q)),
    )
    app.post(
      paths.putRightStep('property', ':id', 'merge'),
      { config, schema: { params: params.merge } },
      (request, reply) => taken(request, reply, { step: 'merge', noun: 'property', ...request.params }),
    )

    async function taken(request: FastifyRequest, reply: FastifyReply, of: Of) {
      const typed = request.body as TypedFields
      const read = readForm(typedInto, request.body)
      if (!read.ok) return formPage(request, reply, of, { typed, faults: faultsFrom(read.problems) })
      const shown = await withFieldProblems(() =>
        previewOrDo(request, reply, askedOf(of, read.data), paths.putRight(of.noun, of.id)),
      )
      if (shown.ok) return reply
      const faults = shown.problems.map(({ message }) => ({ name: 'intoId', message }))
      return formPage(request, reply, of, { typed, faults })
    }

    type Again = { readonly typed: TypedFields; readonly faults: readonly FieldFault[] }
    async function formPage(request: FastifyRequest, reply: FastifyReply, of: Of, again: Again) {
      const who = act(request)
      const record = await recordToPutRight(db, who, of.noun, of.id)
      const q = textIn(again.typed, 'q')
      const hits = q ? await searchHomes(db, who, q, most + 1, () => true) : []
      const homes = hits.filter(home => home.propertyId !== record.propertyId).slice(0, most)
      const { frame } = await pageFacts(request)
      const faulty = again.faults.length > 0
      if (faulty) reply.code(422)
      return page(
        reply,
        <Frame
          {...frame}
          title={titleOf(intoTitle(of.step), of.noun, record)}
          home={record.address}
          place="homes"
          faulty={faulty}
        >
          <MoveForm {...{ ...of, record, q, homes, csrf: frame.csrf, ...again }} />
        </Frame>,
      )
    }
  }

const searched = (q = '') => ({ typed: { q }, faults: [] })

type Into = z.output<typeof typedInto>
const askedOf = (of: Of, into: Into): CorrectionIn =>
  of.step === 'move' ? { kind: 'move', noun: of.noun, id: of.id, ...into } : { kind: 'merge-homes', id: of.id, ...into }
