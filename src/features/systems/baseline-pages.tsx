import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../../platform/deps.ts'
import { formKey, page, withFieldProblems } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { notFound } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { type FieldFault, faultsFrom } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { dateReadingFor, needed, type TypedFields, textIn } from '../../web/typed-fields.ts'
import { activateSystem } from './activate-system.ts'
import { adoptBaseline } from './adopt-baseline.ts'
import { BaselineForm, type BaselineStep, baselineTitles } from './baseline-forms.tsx'
import { voidPart } from './change-system.ts'
import { systemHome } from './page-queries.ts'
import { readSystem } from './queries.ts'
import { readActivation, readBaseline } from './read-baseline-form.ts'

const crew = { page: ['owner', 'office', 'crew'] as const }
const office = { page: ['owner', 'office'] as const }
const params = z.strictObject({ id: z.uuid() })

/** What makes a gauge judgeable that nobody of ours has started: on the phone at the home, undone in the office. */
export const baselinePages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const steps = { baseline: crew, fan: crew, 'baseline-undo': office }
    for (const [step, config] of Object.entries(steps) as [BaselineStep, typeof crew][])
      app.get(paths.systemStep(':id', step), { config, schema: { params } }, async (request, reply) =>
        stepPage(request, reply, request.params.id, step, {}),
      )

    app.post(paths.systemStep(':id', 'baseline'), { config: crew, schema: { params } }, async (request, reply) => {
      const { who, id, typed, reading } = await asked(request)
      const read = readBaseline(typed, reading)
      if (!read.ok) return stepPage(request, reply, id, 'baseline', typed, read.faults)
      const made = await withFieldProblems(() =>
        submitting(request, reply, async tx => {
          await adoptBaseline(tx, who, id, read.value)
          return paths.system(id)
        }),
      )
      return made.ok ? reply : stepPage(request, reply, id, 'baseline', typed, faultsOf(made.problems, 'read'))
    })

    app.post(paths.systemStep(':id', 'fan'), { config: crew, schema: { params } }, async (request, reply) => {
      const { who, id, typed, reading, version } = await asked(request)
      const read = readActivation(typed, reading)
      if (!read.ok) return stepPage(request, reply, id, 'fan', typed, read.faults)
      const made = await withFieldProblems(() => db.transaction(tx => activateSystem(tx, who, id, version, read.value)))
      if (!made.ok) return stepPage(request, reply, id, 'fan', typed, faultsOf(made.problems, 'started'))
      return reply.redirect(paths.system(id), 303)
    })

    app.post(
      paths.systemStep(':id', 'baseline-undo'),
      { config: office, schema: { params } },
      async (request, reply) => {
        const { who, id, typed, version } = await asked(request)
        const faults: FieldFault[] = []
        const reason = textIn(typed, 'reason') || needed(faults, 'reason', 'Say why: the reason stays in the history')
        if (!reason) return stepPage(request, reply, id, 'baseline-undo', typed, faults)
        const { baseline } = await readSystem(db, who, id)
        if (baseline?.role !== 'adopted') throw notFound('adopted baseline')
        const part = { kind: 'gauge-reading' as const, id: baseline.id, reason }
        await db.transaction(tx => voidPart(tx, who, id, version, part))
        return reply.redirect(paths.system(id), 303)
      },
    )

    async function asked(request: FastifyRequest) {
      const who = act(request)
      const { id } = request.params as { id: string }
      const { propertyId } = await readSystem(db, who, id)
      const home = await systemHome(db, who, propertyId)
      const typed = request.body as TypedFields
      return { who, id, typed, version: Number(textIn(typed, 'version')), reading: dateReadingFor(home, request.now) }
    }

    async function stepPage(
      request: FastifyRequest,
      reply: FastifyReply,
      id: string,
      step: BaselineStep,
      typed: TypedFields,
      faults: readonly FieldFault[] = [],
    ) {
      const who = act(request)
      const system = await readSystem(db, who, id)
      if (step === 'baseline-undo' && system.baseline?.role !== 'adopted') throw notFound('adopted baseline')
      if (step === 'fan' && system.active) throw notFound('passive pipe')
      const [facts, home] = await Promise.all([pageFacts(request), systemHome(db, who, system.propertyId)])
      const { frame, pressureUnit } = facts
      if (faults.length) reply.code(422)
      const formProps = { system, typed, faults, pressureUnit, csrf: frame.csrf, reader: frame.signedIn?.name ?? '' }
      return page(
        reply,
        <Frame {...frame} title={baselineTitles[step]} home={home.address} place="homes" faulty={faults.length > 0}>
          <h1 safe>{baselineTitles[step]}</h1>
          <p class="under-title" safe>
            {home.address}
          </p>
          <BaselineForm {...formProps} step={step} formKey={textIn(typed, '_key') || formKey()} />
        </Frame>,
      )
    }
  }

// A fault of the moment is told at the field of that form that says it; the reading has none of its own name.
const faultsOf = (problems: Parameters<typeof faultsFrom>[0], moment: string): readonly FieldFault[] =>
  faultsFrom(problems).map(fault => (/at$/i.test(fault.name) ? { ...fault, name: moment } : fault))
