import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { testChoices } from '../features/tests/page-queries.ts'
import type { Deps } from '../platform/deps.ts'
import { withFieldProblems } from '../platform/http/forms.ts'
import { submitting } from '../platform/http/idempotency.ts'
import { longWork } from '../platform/http/long-work.ts'
import { notFound } from '../platform/http/problem.ts'
import { act } from '../platform/http/request-facts.ts'
import { paths } from '../web/paths.ts'
import { dateReadingFor, type TypedFields, textIn } from '../web/typed-fields.ts'
import { badHomesTable, badRowsTable } from './bad-rows.ts'
import { commitOrQueue, fileOf, prepareCommit, queueCommit } from './commit-import.ts'
import { waitingRecords } from './home-queries.ts'
import { releaseHomes } from './homes-table/release-homes.ts'
import { importPage } from './import-page.tsx'
import { askToStop, beginProgress } from './import-progress.ts'
import { readImport, readImportedFile } from './import-queries.ts'
import { keepTold } from './keep-import.ts'
import { proposalOf, proposedAnew } from './read-import.ts'
import { readTargetForm } from './read-target-form.ts'
import { toldIn } from './read-tell-form.ts'
import { commitBody } from './schemas.ts'
import { undoImport } from './undo-import.ts'

const config = { page: ['owner', 'office', 'crew'] as const }
const params = z.strictObject({ id: z.uuid() })

/** What is pressed on an import's page: told, saved, undone. */
export const importStepPages =
  ({ db, jobs }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.post(paths.importStep(':id', 'tell'), { config, schema: { params } }, async (request, reply) => {
      const who = act(request)
      const typed = request.body as TypedFields
      const batch = await readImport(db, who, request.params.id)
      const { proposal } = await proposalOf(db, who, batch, toldIn(batch, typed))
      if (proposal) await db.transaction(tx => keepTold(tx, who, batch.id, Number(textIn(typed, 'version')), proposal))
      return reply.redirect(paths.import(batch.id), 303)
    })

    app.post(paths.importStep(':id', 'commit'), { ...longWork, config, schema: { params } }, async (request, reply) => {
      const who = act(request)
      const typed = request.body as TypedFields
      const batch = await readImport(db, who, request.params.id)
      const read = batch.kind === 'monitor-record' ? await recordCommitIn(batch.propertyId) : tableCommitIn(typed)
      if (!read.ok) return importPage(request, reply, { id: batch.id, typed, faults: read.faults })
      const done = await withFieldProblems(async () => {
        const prepared = await prepareCommit(db, who, await fileOf(db, batch), read.body)
        await submitting(request, reply, async tx => {
          const { id, testId } = await commitOrQueue(tx, who, jobs, batch.id, prepared)
          return testId ? paths.test(testId) : paths.import(id)
        })
      })
      if (done.ok) return reply
      const faults = done.problems.map(({ field, message }) => ({ name: field, message }))
      return importPage(request, reply, { id: batch.id, typed, faults })

      async function recordCommitIn(propertyId: string | null) {
        if (!propertyId) throw notFound('property')
        const home = await testChoices(db, who, propertyId)
        return readTargetForm(typed, home, await waitingRecords(db, home.id), dateReadingFor(home, request.now))
      }
    })

    app.post(paths.importStep(':id', 'undo'), { config, schema: { params } }, async (request, reply) => {
      const version = Number(textIn(request.body as TypedFields, 'version'))
      await db.transaction(tx => undoImport(tx, act(request), request.params.id, version))
      return reply.redirect(paths.import(request.params.id), 303)
    })

    app.post(paths.importStep(':id', 'stop'), { config, schema: { params } }, async (request, reply) => {
      const batch = await readImport(db, act(request), request.params.id)
      await askToStop(db, batch.id)
      return reply.redirect(paths.import(batch.id), 303)
    })

    app.post(paths.importStep(':id', 'resume'), { config, schema: { params } }, async (request, reply) => {
      const who = act(request)
      const batch = await readImport(db, who, request.params.id)
      if (batch.state === 'committing')
        await db.transaction(async tx => {
          await beginProgress(tx, batch.id, request.now)
          await queueCommit(tx, who, jobs, batch.id)
        })
      return reply.redirect(paths.import(batch.id), 303)
    })

    app.post(paths.importStep(':id', 'release'), { config, schema: { params } }, async (request, reply) => {
      const who = act(request)
      await db.transaction(tx => releaseHomes(tx, who, request.params.id))
      return reply.redirect(paths.import(request.params.id), 303)
    })

    app.get(paths.importStep(':id', 'bad-rows'), { config, schema: { params } }, async (request, reply) => {
      const who = act(request)
      const batch = await readImport(db, who, request.params.id)
      const proposal = batch.state === 'proposed' ? await proposedAnew(db, who, batch) : null
      if (!proposal || proposal.kind === 'monitor-record' || !proposal.proposed.ok || !proposal.dryRun)
        throw notFound('table of bad rows')
      const bytes = await readImportedFile(db, batch.fileSha256)
      const { reading } = proposal.proposed
      const { faults } = proposal.dryRun
      return reply
        .type('text/csv; charset=utf-8')
        .header('content-disposition', 'attachment; filename="bad-rows.csv"')
        .send('sheets' in reading ? await badHomesTable(bytes, reading, faults) : badRowsTable(bytes, reading, faults))
    })
  }

const tableCommitIn = (typed: TypedFields) => {
  const name = textIn(typed, 'save-as')
  const again = textIn(typed, 'again') === 'yes'
  return { ok: true as const, body: commitBody.parse(name ? { again, saveReadingAs: name } : { again }) }
}
