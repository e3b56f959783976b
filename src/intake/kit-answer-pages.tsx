import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { lotLines } from '../features/devices/page-queries.ts'
import { resultIn } from '../features/tests/read-test-form.ts'
import type { Deps } from '../platform/deps.ts'
import { formKey, page, withFieldProblems } from '../platform/http/forms.ts'
import { submitting } from '../platform/http/idempotency.ts'
import { act } from '../platform/http/request-facts.ts'
import { pageFacts } from '../standing/page-facts.ts'
import { type FieldFault, faultsFrom } from '../web/error-summary.tsx'
import { Frame } from '../web/frame.tsx'
import { paths } from '../web/paths.ts'
import { type DateReading, readTypedDate } from '../web/read-typed-date.ts'
import { dateReadingFor, needed, type TypedFields, textIn } from '../web/typed-fields.ts'
import { answerKit } from './answer-kit.ts'
import { type KitAnswer, kitAnswer } from './kit-answer-schemas.ts'
import { KitAnswerForm } from './view/kit-answer-form.tsx'

const office = { page: ['owner', 'office'] as const }
const querystring = z.strictObject({ number: z.string().max(60).optional() })

/** The same as it is typed off the laboratory's paper. */
export const kitAnswerPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.kitAnswer(), { config: office, schema: { querystring } }, async (request, reply) =>
      answerPage(request, reply, { number: request.query.number ?? '' }),
    )

    app.post(paths.kitAnswer(), { config: office }, async (request, reply) => {
      const typed = request.body as TypedFields
      const faults: FieldFault[] = []
      const answer = readAnswer(typed, dateReadingFor(await pageFacts(request), request.now), faults)
      if (answer === null) return answerPage(request, reply, typed, faults)
      const kept = await withFieldProblems(() =>
        submitting(request, reply, async tx => paths.test((await answerKit(tx, act(request), answer)).testId)),
      )
      return kept.ok ? reply : answerPage(request, reply, typed, faultsFrom(kept.problems))
    })

    async function answerPage(
      request: FastifyRequest,
      reply: FastifyReply,
      typed: TypedFields,
      faults: readonly FieldFault[] = [],
    ) {
      const [{ frame, unit }, lots] = await Promise.all([pageFacts(request), lotLines(db)])
      if (faults.length) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="A laboratory’s answer" place="devices" faulty={faults.length > 0}>
          <KitAnswerForm
            {...{ typed, faults, unit, csrf: frame.csrf }}
            lots={lots.map(({ id, model, lot }) => ({ id, name: `${model} ${lot ?? ''}`.trim() }))}
            formKey={textIn(typed, '_key') || formKey()}
          />
        </Frame>,
      )
    }
  }

function readAnswer(typed: TypedFields, reading: DateReading, faults: FieldFault[]): KitAnswer | null {
  const day = (name: string) => {
    const text = textIn(typed, name)
    const read = text === '' ? null : readTypedDate(text, reading)
    if (read?.ok === false) faults.push({ name, message: read.fault })
    return read?.ok ? read.day : null
  }
  const result = resultIn(typed, 'result', textIn(typed, 'unit'), faults)
  if (!textIn(typed, 'number')) needed(faults, 'number', 'Write the number on the kit')
  if (!result) needed(faults, 'result', 'Write the result')
  const said = {
    number: textIn(typed, 'number'),
    result,
    laboratory: textIn(typed, 'laboratory'),
    exposedFrom: day('exposedFrom'),
    exposedTo: day('exposedTo'),
    deviceId: textIn(typed, 'deviceId') || null,
  }
  if (faults.length > 0) return null
  const read = kitAnswer.safeParse(said)
  if (read.success) return read.data
  for (const { path, message } of read.error.issues) faults.push({ name: path.join('.'), message })
  return null
}
