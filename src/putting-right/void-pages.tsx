import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../platform/deps.ts'
import { page, readForm } from '../platform/http/forms.ts'
import { act } from '../platform/http/request-facts.ts'
import { pageFacts } from '../standing/page-facts.ts'
import { type FieldFault, faultsFrom } from '../web/error-summary.tsx'
import { Field } from '../web/field.tsx'
import { Form } from '../web/form.tsx'
import { Frame } from '../web/frame.tsx'
import { paths } from '../web/paths.ts'
import { textIn } from '../web/typed-fields.ts'
import { voidIn } from './kinds/void-body.ts'
import { previewOrDo } from './preview-page.tsx'
import { nounsToPutRight, recordToPutRight, titleOf } from './record-to-put-right.ts'

const config = { page: ['owner', 'office'] as const }
const params = z.strictObject({ noun: z.enum(nounsToPutRight), id: z.uuid() })
const typedVoid = voidIn.pick({ reason: true }).strip()

/** A record is taken out of the reckoning, once what would change was shown. */
export const voidPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const url = paths.putRightStep(':noun', ':id', 'void')

    app.get(url, { config, schema: { params } }, (request, reply) => formPage(request, reply, request.params, []))

    app.post(url, { config, schema: { params } }, async (request, reply) => {
      const { noun, id } = request.params
      const read = readForm(typedVoid, request.body)
      if (!read.ok) return formPage(request, reply, request.params, faultsFrom(read.problems))
      return previewOrDo(request, reply, { kind: 'void', noun, id, ...read.data }, paths.putRight(noun, id))
    })

    async function formPage(
      request: FastifyRequest,
      reply: FastifyReply,
      { noun, id }: z.output<typeof params>,
      faults: readonly FieldFault[],
    ) {
      const record = await recordToPutRight(db, act(request), noun, id)
      const { frame } = await pageFacts(request)
      if (faults.length > 0) reply.code(422)
      const whole = noun === 'property'
      return page(
        reply,
        <Frame
          {...frame}
          title={titleOf('Void it', noun, record)}
          home={record.address}
          place="homes"
          faulty={faults.length > 0}
        >
          <h1>{whole ? 'Void this home' : 'Void it'}</h1>
          <p class="under-title" safe>
            {whole ? record.address : `${record.subject}, ${record.address}`}
          </p>
          <p>
            {whole
              ? 'The home and all that hangs on it count no more and are found no more. Everything stays in the history, struck through, and can be put back.'
              : 'It counts no more. It stays in the history, struck through, and can be put back.'}
          </p>
          <Form
            action={paths.putRightStep(noun, id, 'void')}
            submit="See what would change"
            csrf={frame.csrf}
            faults={faults}
            cancel={{ href: paths.putRight(noun, id) }}
          >
            <Field
              name="reason"
              label="Why it should not count"
              value={textIn((request.body ?? {}) as Record<string, unknown>, 'reason')}
              maxlength={500}
              faults={faults}
              required
            />
          </Form>
        </Frame>,
      )
    }
  }
