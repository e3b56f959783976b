import type { FastifyReply, FastifyRequest } from 'fastify'
import { localDayOf } from '../domain/calendar/local-day.ts'
import { formKey, page } from '../platform/http/forms.ts'
import { submitting } from '../platform/http/idempotency.ts'
import { Problem } from '../platform/http/problem.ts'
import { act } from '../platform/http/request-facts.ts'
import { pageFacts } from '../standing/page-facts.ts'
import { attributeText } from '../web/attribute-text.ts'
import { actWords } from '../web/correction-words.ts'
import { Form } from '../web/form.tsx'
import { Frame } from '../web/frame.tsx'
import { paths } from '../web/paths.ts'
import { type TypedFields, textIn } from '../web/typed-fields.ts'
import { ChangesTable, ToldList } from './changes-view.tsx'
import type { CorrectionIn } from './kinds.ts'
import { placeOf } from './place-of.ts'
import { foreseen, putRight } from './put-right.ts'

/**
 * What a form that asks for a correction is answered with: first a page of what would change, which carries the same
 * fields and the tag; with the tag, the deed. Where it would change something else by then, that is shown anew.
 */
export async function previewOrDo(
  request: FastifyRequest,
  reply: FastifyReply,
  asked: CorrectionIn,
  back: string,
): Promise<FastifyReply> {
  const typed = request.body as TypedFields
  const tag = textIn(typed, 'tag')
  if (!tag) return previewPage(request, reply, { asked, back, overtaken: false })
  try {
    return await submitting(request, reply, async tx => {
      const { correction } = await putRight(tx, act(request), { ...asked, tag })
      return paths.correction(correction.id)
    })
  } catch (error) {
    if (!(error instanceof Problem) || error.code !== 'not-as-shown') throw error
    return previewPage(request, reply, { asked, back, overtaken: true })
  }
}

type Shown = { readonly asked: CorrectionIn; readonly back: string; readonly overtaken: boolean }

async function previewPage(request: FastifyRequest, reply: FastifyReply, { asked, back, overtaken }: Shown) {
  const { correction, tag } = await foreseen(request.deps.db, act(request), asked)
  const { frame, zone } = await pageFacts(request)
  if (overtaken) reply.code(409)
  return page(
    reply,
    <Frame {...frame} title="What would change" place={placeOf(asked)} wide>
      <h1>What would change</h1>
      <p class="under-title" safe>
        {correction.subject}
      </p>
      {overtaken ? (
        <p class="message" role="alert">
          Something changed since you looked. Nothing was done: this is what it would change now.
        </p>
      ) : (
        ''
      )}
      <ChangesTable
        title="Each home, before and after"
        homes={correction.standings}
        today={localDayOf(request.now, zone)}
      />
      <ToldList told={correction.told} />
      <p safe>{`Reason: ${asked.reason}`}</p>
      <Form
        action={request.url}
        submit={actWords(asked.kind)}
        csrf={frame.csrf}
        idempotencyKey={formKey()}
        cancel={{ href: back }}
      >
        {typedAgain(request.body as TypedFields).map(([name, value]) => (
          <input type="hidden" name={name} value={attributeText(value)} />
        ))}
        <input type="hidden" name="tag" value={tag} />
      </Form>
    </Frame>,
  )
}

/** The fields of the form that asked, to be sent once more with the tag. */
const typedAgain = (typed: TypedFields): [string, string][] =>
  Object.entries(typed).flatMap(([name, value]): [string, string][] =>
    ['_csrf', '_key', 'tag'].includes(name) ? [] : [value].flat().map(one => [name, String(one)]),
  )
