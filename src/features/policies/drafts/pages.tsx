import { stringify } from 'csv-stringify/sync'
import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { localDayOf } from '../../../domain/calendar/local-day.ts'
import { saidGroups } from '../../../domain/policy/draft-change.ts'
import type { Tx } from '../../../platform/db/client.ts'
import type { Deps } from '../../../platform/deps.ts'
import { type FieldProblem, formKey, page, withFieldProblems } from '../../../platform/http/forms.ts'
import { submitting } from '../../../platform/http/idempotency.ts'
import { notFound } from '../../../platform/http/problem.ts'
import { act } from '../../../platform/http/request-facts.ts'
import { foreseeHome } from '../../../standing/foresee-rules.ts'
import { loadPolicies, rulesPublished } from '../../../standing/load-policies.ts'
import { pageFacts } from '../../../standing/page-facts.ts'
import { seenHome } from '../../../standing/seen-home.ts'
import type { FieldFault } from '../../../web/error-summary.tsx'
import { Frame } from '../../../web/frame.tsx'
import { paths } from '../../../web/paths.ts'
import { dateReadingFor, type TypedFields, textIn } from '../../../web/typed-fields.ts'
import { BothWorkings } from './both-workings-view.tsx'
import { changedLines } from './changed-lines.ts'
import { differenceWords } from './difference-words.ts'
import { draftSections } from './draft-fields.ts'
import { DraftForm } from './draft-form.tsx'
import { type Draft, listDrafts, readDraft } from './draft-queries.ts'
import { DraftView } from './draft-view.tsx'
import { DraftsView } from './drafts-view.tsx'
import {
  beginTrial,
  correctDraft,
  createDraft,
  dropDraft,
  goOnWithTrial,
  publishDraft,
  stopTrial,
} from './keep-draft.ts'
import { chainBefore, chainIn, fieldsOf, readDraftForm } from './read-draft-form.ts'
import { addressOf, changedHomes, latestTrial, restandingOf } from './trial-queries.ts'
import { changeOf, holdsFor } from './try-draft.ts'

const config = { page: ['owner'] as const }
const params = z.strictObject({ id: z.uuid() })
const shown = z.object({
  kind: z.enum(['', 'verdict', 'duty', 'deadline']).default('').catch(''),
  after: z.uuid().optional().catch(undefined),
})
const aPage = 50

/** Changes of rules that are thought of: drafted, tried on every home, published. */
export const draftPages =
  ({ db, jobs }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.ruleDrafts(), { config }, async (request, reply) => {
      const [{ frame }, drafts, policies] = await Promise.all([
        pageFacts(request),
        listDrafts(db, 100),
        loadPolicies(db),
      ])
      const sets = [...policies.byCode.values()].map(versions => versions.at(-1)!)
      const sorted = sets.sort((a, b) => a.title.localeCompare(b.title, 'en'))
      return page(
        reply,
        <Frame {...frame} title="Drafts of rules" place="rules" wide>
          <DraftsView drafts={drafts} sets={sorted} />
        </Frame>,
      )
    })

    const querystring = z.object({ code: z.string().max(60).catch('') })
    app.get('/rule-drafts/new', { config, schema: { querystring } }, async (request, reply) =>
      formPage(request, reply, { code: request.query.code, draft: null, typed: {}, faults: [] }),
    )

    app.post('/rule-drafts/new', { config, schema: { querystring } }, async (request, reply) => {
      const typed = request.body as TypedFields
      const { code } = request.query
      const read = readDraftForm(typed, await asked(request, code))
      if ('faults' in read) return formPage(request, reply, { code, draft: null, typed, faults: read.faults })
      const made = await withFieldProblems(() =>
        submitting(request, reply, async tx =>
          paths.ruleDraft(await createDraft(tx, act(request), read.body, read.reason)),
        ),
      )
      if (made.ok) return reply
      return formPage(request, reply, { code, draft: null, typed, faults: inSummary(made.problems) })
    })

    app.get('/rule-drafts/:id/change', { config, schema: { params } }, async (request, reply) => {
      const draft = await draftOf(request.params.id)
      const { chain } = await asked(request, draft.code)
      const typed = fieldsOf(chain, draft.body, draft.reason)
      return formPage(request, reply, { code: draft.code, draft, typed, faults: [] })
    })

    app.post('/rule-drafts/:id/change', { config, schema: { params } }, async (request, reply) => {
      const draft = await draftOf(request.params.id)
      const typed = request.body as TypedFields
      const shape = { code: draft.code, draft, typed }
      const read = readDraftForm(typed, await asked(request, draft.code))
      if ('faults' in read) return formPage(request, reply, { ...shape, faults: read.faults })
      const made = await withFieldProblems(() =>
        db.transaction(tx => correctDraft(tx, act(request), draft.id, versionIn(request), read.body, read.reason)),
      )
      if (!made.ok) return formPage(request, reply, { ...shape, faults: inSummary(made.problems) })
      return reply.redirect(paths.ruleDraft(draft.id), 303)
    })

    app.get('/rule-drafts/:id', { config, schema: { params, querystring: shown } }, (request, reply) =>
      draftPage(request, reply, []),
    )

    app.get('/rule-drafts/:id/homes.csv', { config, schema: { params } }, async (request, reply) => {
      const draft = await draftOf(request.params.id)
      const trial = await latestTrial(db, draft.id)
      if (!trial) throw notFound('trial')
      const rows: string[][] = [['Home', 'Town', 'Region', 'Postcode', 'What would change']]
      for (let after: string | null = null; ; ) {
        const homes = await changedHomes(db, trial.id, after, '', 1000)
        for (const { street, city, region, postcode, difference } of homes)
          rows.push([street, city, region, postcode, differenceWords(difference).join('; ')])
        after = homes.at(-1)?.propertyId ?? null
        if (homes.length < 1000) break
      }
      return reply
        .type('text/csv; charset=utf-8')
        .header('content-disposition', 'attachment; filename="homes-that-would-change.csv"')
        .send(stringify(rows, { bom: true, escape_formulas: true }))
    })

    const home = z.strictObject({ id: z.uuid(), homeId: z.uuid() })
    app.get('/rule-drafts/:id/homes/:homeId', { config, schema: { params: home } }, async (request, reply) => {
      const draft = await draftOf(request.params.id)
      await seenHome(db, act(request), request.params.homeId)
      const address = (await addressOf(db, request.params.homeId)) ?? ''
      const { frame } = await pageFacts(request)
      const trial = await latestTrial(db, draft.id)
      const change = await changeOf(db, draft, trial?.begunAt ?? request.now)
      const both = change && (await foreseeHome(db, change, request.params.homeId))
      return page(
        reply,
        <Frame {...frame} title="Both workings" home={address} place="rules" wide>
          <h1 safe>{address}</h1>
          <p>
            <a href={paths.ruleDraft(draft.id)} safe>
              {`Back to the draft: ${draft.title}`}
            </a>
          </p>
          {both ? <BothWorkings {...both} /> : <p safe>{change ? untouched : overtaken}</p>}
        </Frame>,
      )
    })

    type Step = (tx: Tx, who: ReturnType<typeof act>, id: string, version: number) => Promise<void>
    const steps: Readonly<Record<string, Step>> = {
      try: (tx, who, id, version) => beginTrial(tx, who, jobs, id, version),
      stop: (tx, _who, id) => stopTrial(tx, id),
      'go-on': (tx, who, id, version) => goOnWithTrial(tx, who, jobs, id, version),
      publish: publishDraft,
    }
    for (const [step, work] of Object.entries(steps))
      app.post(`/rule-drafts/:id/${step}`, { config, schema: { params } }, async (request, reply) => {
        const { id } = await draftOf(request.params.id)
        await db.transaction(tx => work(tx, act(request), id, versionIn(request)))
        return reply.redirect(paths.ruleDraft(id), 303)
      })

    app.post('/rule-drafts/:id/drop', { config, schema: { params } }, async (request, reply) => {
      const { id } = await draftOf(request.params.id)
      const reason = textIn(request.body as TypedFields, 'drop-reason')
      if (!reason)
        return draftPage(request, reply, [{ name: 'drop-reason', message: 'Say why: the reason stays in the history' }])
      await db.transaction(tx => dropDraft(tx, act(request), id, versionIn(request), reason))
      return reply.redirect(paths.ruleDrafts(), 303)
    })

    async function draftPage(request: FastifyRequest, reply: FastifyReply, faults: readonly FieldFault[]) {
      const draft = await draftOf((request.params as z.output<typeof params>).id)
      const { kind, after = null } = shown.parse(request.query)
      const [{ frame, zone }, policies, trial, restanding, rules] = await Promise.all([
        pageFacts(request),
        loadPolicies(db),
        latestTrial(db, draft.id),
        restandingOf(db),
        rulesPublished(db),
      ])
      const found = trial ? await changedHomes(db, trial.id, after, kind, aPage + 1) : []
      const homes = found.slice(0, aPage)
      const holds = draft.publishedAt !== null || holdsFor(trial, draft, rules)
      // Looks again by itself, without a script.
      const moving = trial?.state === 'running' || (draft.publishedAt !== null && restanding.waiting > 0)
      if (moving) reply.header('refresh', '2')
      const before = chainBefore(policies, draft.body)
      const next = found.length > aPage ? paths.ruleDraft(draft.id, { kind, after: homes.at(-1)?.propertyId }) : null
      if (faults.length > 0) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title={`Draft: ${draft.title}`} place="rules" faulty={faults.length > 0} wide>
          <DraftView
            {...{ draft, trial, holds, homes, kind, next, restanding, zone, faults, csrf: frame.csrf }}
            lines={changedLines(before, draft.body)}
          />
        </Frame>,
      )
    }

    async function draftOf(id: string): Promise<Draft> {
      const draft = await readDraft(db, id)
      if (!draft) throw notFound('draft')
      return draft
    }

    async function asked(request: FastifyRequest, code: string) {
      const facts = await pageFacts(request)
      const today = localDayOf(request.now, facts.zone)
      const chain = chainIn(await loadPolicies(db), code, today)
      if (!chain) throw notFound('rule set')
      return { chain, today, reading: { ...dateReadingFor(facts, request.now), ahead: true as const } }
    }

    type Shape = { code: string; draft: Draft | null; typed: TypedFields; faults: readonly FieldFault[] }
    async function formPage(request: FastifyRequest, reply: FastifyReply, { code, draft, typed, faults }: Shape) {
      const [{ frame }, { chain }] = await Promise.all([pageFacts(request), asked(request, code)])
      if (faults.length > 0) reply.code(422)
      const [action, cancel] = draft
        ? [paths.ruleDraftStep(draft.id, 'change'), paths.ruleDraft(draft.id)]
        : [paths.newRuleDraft(code), paths.ruleDrafts()]
      const once = draft ? { version: draft.version } : { formKey: textIn(typed, '_key') || formKey() }
      return page(
        reply,
        <Frame {...frame} title={`Draft a change: ${chain[0].title}`} place="rules" faulty={faults.length > 0}>
          <h1 safe>{`Draft a change: ${chain[0].title}`}</h1>
          <p>
            Write over what would be otherwise; what you leave stays as it is. Nothing holds before it is published.
          </p>
          <DraftForm
            {...{ action, cancel, typed, faults, csrf: frame.csrf, ...once }}
            submit="Keep the draft"
            sections={draftSections(saidGroups(chain))}
          />
        </Frame>,
      )
    }
  }

const untouched = 'This home is judged by other rules: the draft does not touch it.'
const overtaken = 'The draft contradicts rules that were published since: it can not be reckoned with any more.'
const versionIn = (request: FastifyRequest) => Number(textIn(request.body as TypedFields, 'version'))
// A contradiction lies between rules: it is told above the form, not beside a field.
const inSummary = (problems: readonly FieldProblem[] = []) => problems.map(({ message }) => ({ name: '', message }))
