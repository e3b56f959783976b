import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../../platform/deps.ts'
import { formKey, page, readForm } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { Problem, problem } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { seenHome } from '../../standing/seen-home.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import type { Message } from '../../web/messages.tsx'
import { paths } from '../../web/paths.ts'
import { dateReadingFor, momentIn, needed, type TypedFields, textIn } from '../../web/typed-fields.ts'
import { type Answered, type Asked, askClosing } from './ask-closing.ts'
import { ClosingForm } from './closing-form.tsx'
import { AnswerView } from './closing-view.tsx'
import { type PlanVisit, planClosing } from './plan-closing.ts'
import { type ClosingHome, closingHome } from './queries.ts'
import { closingAsk, closingForm, closingMethod, plannedForm } from './schemas.ts'

const office = { page: ['owner', 'office'] as const }
const params = z.strictObject({ id: z.uuid() })

/** The closing question of a home, and its visits at a press. */
export const closingPages =
  ({ db }: Deps, planVisit: PlanVisit): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      paths.homeClosing(':id'),
      { config: office, schema: { params, querystring: closingForm } },
      async (request, reply) => {
        const { id } = request.params
        const typed = request.query as TypedFields
        await seenHome(db, act(request), id)
        const home = await closingHome(db, id)
        if (!textIn(typed, 'asks')) return closingPage(request, reply, home, {})
        const faults: FieldFault[] = []
        const asked = askedIn(typed, home, request.now, faults)
        if (!asked) return closingPage(request, reply.code(422), home, { typed, faults })
        const answered = await withFaults(askClosing(db, act(request), id, asked), faults)
        if (!answered) return closingPage(request, reply.code(422), home, { typed, faults })
        return closingPage(request, reply, home, { typed, answered })
      },
    )

    app.post(paths.homeClosing(':id'), { config: office, schema: { params } }, async (request, reply) => {
      const { id } = request.params
      const read = readForm(plannedForm, request.body)
      if (!read.ok) throw problem(400, 'form-incomplete', 'The form came without its plan; reckon it again and repeat.')
      const { seen, ...asked } = read.data
      try {
        return await submitting(request, reply, async tx => {
          await planClosing(tx, act(request), id, { asked, seen }, planVisit)
          return paths.home(id)
        })
      } catch (error) {
        if (!(error instanceof Problem) || error.code !== 'plan-moved') throw error
        const answered = await askClosing(db, act(request), id, asked)
        const messages: Message[] = [{ kind: 'note', text: error.message }]
        return closingPage(request, reply.code(409), answered.home, { answered, messages })
      }
    })

    async function closingPage(request: FastifyRequest, reply: FastifyReply, home: ClosingHome, shown: Shown) {
      const { frame } = await pageFacts(request)
      const { typed = {}, faults = [], answered, messages } = shown
      return page(
        reply,
        <Frame
          {...frame}
          title="Closing"
          home={home.address}
          place="homes"
          faulty={faults.length > 0}
          messages={messages}
        >
          <h1>Closing</h1>
          <p class="under-title" safe>
            {home.address}
          </p>
          {answered ? <AnswerView answered={answered} csrf={frame.csrf} formKey={formKey()} /> : ''}
          {answered ? <h2 class="on-screen">Ask again</h2> : ''}
          <ClosingForm homeId={home.id} typed={typed} faults={faults} />
        </Frame>,
      )
    }
  }

type Shown = {
  readonly typed?: TypedFields
  readonly faults?: readonly FieldFault[]
  readonly answered?: Answered
  readonly messages?: readonly Message[]
}

function askedIn(typed: TypedFields, home: ClosingHome, now: number, faults: FieldFault[]): Asked | null {
  const asks = closingAsk.safeParse(textIn(typed, 'asks')).data ?? needed(faults, 'asks', 'Choose what is asked')
  const method = closingMethod.safeParse(textIn(typed, 'method')).data ?? needed(faults, 'method', 'Choose the method')
  const deadline = momentIn(typed, 'by', { ...dateReadingFor(home, now), ahead: true }, faults)
  // A day or a time that could not be read was named already.
  const unread = faults.some(({ name }) => name.startsWith('by'))
  if (deadline === null && !unread && asks !== 'post-mitigation-test')
    needed(faults, 'by', 'Write the day and the time')
  return asks && method && faults.length === 0 ? { asks, method, deadline } : null
}

async function withFaults<T>(asked: Promise<T>, faults: FieldFault[]): Promise<T | null> {
  try {
    return await asked
  } catch (error) {
    if (!(error instanceof Problem) || error.status !== 422) throw error
    faults.push({ name: 'by', message: error.errors[0]?.detail ?? error.message })
    return null
  }
}
