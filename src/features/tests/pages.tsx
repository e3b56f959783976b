import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { EvaluatedTest } from '../../domain/answers.ts'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import { hasRole } from '../../platform/auth/actor.ts'
import type { Deps } from '../../platform/deps.ts'
import { formKey, page, withFieldProblems } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { act } from '../../platform/http/request-facts.ts'
import { levelInForce } from '../../standing/level-in-force.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { readStanding } from '../../standing/read-standing.ts'
import { readPartiesOf } from '../../standing/work-parties.ts'
import { type FieldFault, faultsFrom } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import { clockWords } from '../../web/instant-words.ts'
import { paths } from '../../web/paths.ts'
import { dateReadingFor, type TypedFields, textIn } from '../../web/typed-fields.ts'
import { receiversShown, WorkParties } from '../../web/work-parties.tsx'
import { attemptsBeside } from './attempt-queries.ts'
import { acceptResult } from './correct-test.ts'
import { seriesOf } from './exposure-queries.ts'
import { devicesOf, testChoices } from './page-queries.ts'
import { readTest } from './queries.ts'
import { faultsAtLocations, readNewTest } from './read-test-form.ts'
import { replacedOf } from './reading-queries.ts'
import { recordTest } from './record-test.ts'
import { Replaced } from './replaced-view.tsx'
import { type Step, steps } from './step-forms.tsx'
import { readStep } from './take-step.ts'
import { TestForm } from './test-form.tsx'
import { TestView } from './test-view.tsx'

const config = { page: ['owner', 'office', 'crew'] as const }
const office = { page: ['owner', 'office'] as const }
const params = z.strictObject({ id: z.uuid() })
const newTestSchema = { params, querystring: z.strictObject({ doing: z.literal('set').optional() }) }
const stepParams = z.strictObject({ id: z.uuid(), step: z.enum(Object.keys(steps) as [Step, ...Step[]]) })

/** Pages about one test: entering it, looking at it, taking it further. */
export const testsPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.newTest(':id'), { config, schema: newTestSchema }, async (request, reply) => {
      const home = await testChoices(db, act(request), request.params.id)
      return newTestPage(request, reply, home.id, request.query.doing ? nowHere(request, home.zone, 'set') : {})
    })

    app.post(paths.newTest(':id'), { config, schema: newTestSchema }, async (request, reply) => {
      const typed = request.body as TypedFields
      const home = await testChoices(db, act(request), request.params.id)
      const read = readNewTest(typed, home, dateReadingFor(home, request.now))
      if (!read.ok) return newTestPage(request, reply, home.id, typed, read.faults)
      const made = await withFieldProblems(() =>
        submitting(request, reply, async tx =>
          paths.test((await recordTest(tx, act(request), home.id, read.value)).testId),
        ),
      )
      if (made.ok) return reply
      return newTestPage(request, reply, home.id, typed, faultsAtLocations(faultsFrom(made.problems), read.value))
    })

    app.get(paths.test(':id'), { config, schema: { params } }, async (request, reply) => {
      const who = act(request)
      const test = await readTest(db, who, request.params.id)
      const [{ frame }, home, series, devices, attempts, replaced, kept, work] = await Promise.all([
        pageFacts(request),
        testChoices(db, who, test.propertyId),
        seriesOf(db, test.id),
        devicesOf(db, test.id),
        attemptsBeside(db, test.id),
        replacedOf(db, test.id),
        readStanding(db, test.propertyId),
        readPartiesOf(db, { subject: 'test', id: test.id, propertyId: test.propertyId }, request.now),
      ])
      const today = localDayOf(request.now, test.zone)
      return page(
        reply,
        <Frame {...frame} title="Test" home={home.address} place="homes">
          <TestView
            {...{ test, series, devices, attempts, address: home.address, now: request.now, csrf: frame.csrf }}
            evaluated={test.evaluation ? (JSON.parse(test.evaluation) as EvaluatedTest) : null}
            level={kept?.standing.verdict.level ?? (await levelInForce(db, test.propertyId, request.now))}
            mayAccept={hasRole(who.actor, 'owner', 'office')}
            receivers={receiversShown(work.parties, work.owner, today)}
            formKey={formKey()}
          />
          <Replaced {...{ replaced, zone: test.zone }} mayPutRight={hasRole(who.actor, 'owner', 'office')} />
          {hasRole(who.actor, 'owner', 'office') ? (
            <WorkParties work={{ subject: 'test', id: test.id }} {...work} today={today} />
          ) : (
            ''
          )}
        </Frame>,
      )
    })

    app.post(paths.testStep(':id', 'acceptance'), { config: office, schema: { params } }, async (request, reply) => {
      const version = Number(textIn(request.body as TypedFields, 'version'))
      await db.transaction(tx => acceptResult(tx, act(request), request.params.id, version))
      return reply.redirect(paths.test(request.params.id), 303)
    })

    app.get('/tests/:id/:step', { config, schema: { params: stepParams } }, async (request, reply) => {
      const { zone } = await readTest(db, act(request), request.params.id)
      const onSite = request.params.step === 'pick-up' && !hasRole(act(request).actor, 'owner', 'office')
      return stepPage(request, reply, request.params, onSite ? nowHere(request, zone, 'picked-up') : {})
    })

    app.post('/tests/:id/:step', { config, schema: { params: stepParams } }, async (request, reply) => {
      const { id, step } = request.params
      const typed = request.body as TypedFields
      const test = await readTest(db, act(request), id)
      const home = await testChoices(db, act(request), test.propertyId)
      const read = readStep(step, test, typed, dateReadingFor(home, request.now))
      if (!read.ok) return stepPage(request, reply, request.params, typed, read.faults)
      const taken = await withFieldProblems(() => db.transaction(tx => read.verb(tx, act(request))))
      if (!taken.ok) return stepPage(request, reply, request.params, typed, faultsFrom(taken.problems))
      return reply.redirect(paths.test(id), 303)
    })

    async function newTestPage(
      request: FastifyRequest,
      reply: FastifyReply,
      homeId: string,
      typed: TypedFields,
      faults: readonly FieldFault[] = [],
    ) {
      const [{ frame, unit }, home] = await Promise.all([pageFacts(request), testChoices(db, act(request), homeId)])
      const setting = (request.query as { doing?: string }).doing === 'set'
      const title = setting ? 'Set a device' : 'Enter a test'
      if (faults.length) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title={title} home={home.address} place="homes" faulty={faults.length > 0}>
          <h1 safe>{title}</h1>
          <ul class="links">
            <li>
              <a href={setting ? paths.newTest(homeId) : paths.setDevice(homeId)}>
                {setting ? 'Enter a whole test' : 'Set a device only'}
              </a>
            </li>
            <li>
              <a href={paths.newImport(homeId)}>Import a monitor’s file</a>
            </li>
          </ul>
          <TestForm
            {...{ home, typed, faults, unit, setting, csrf: frame.csrf }}
            formKey={textIn(typed, '_key') || formKey()}
          />
        </Frame>,
      )
    }

    async function stepPage(
      request: FastifyRequest,
      reply: FastifyReply,
      { id, step }: { id: string; step: Step },
      typed: TypedFields,
      faults: readonly FieldFault[] = [],
    ) {
      const test = await readTest(db, act(request), id)
      const [{ frame, unit }, home] = await Promise.all([
        pageFacts(request),
        testChoices(db, act(request), test.propertyId),
      ])
      const { title, Body } = steps[step]
      if (faults.length) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title={title} home={home.address} place="homes" faulty={faults.length > 0}>
          <h1 safe>{title}</h1>
          <Body {...{ test, typed, faults, unit, csrf: frame.csrf }} />
        </Frame>,
      )
    }
  }

/** The moment and the person, for a form that is filled in where the thing is done. */
function nowHere(request: FastifyRequest, zone: string, name: 'set' | 'picked-up'): TypedFields {
  const { actor } = act(request)
  const by = actor.kind === 'staff' ? actor.name : ''
  return {
    [name]: localDayOf(request.now, zone),
    [`${name}-time`]: clockWords(request.now, zone),
    [name === 'set' ? 'set-by' : 'by']: by,
  }
}
