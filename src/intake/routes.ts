import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../platform/deps.ts'
import { ifMatch, tagged } from '../platform/http/etag.ts'
import { creating } from '../platform/http/idempotency.ts'
import { listed, readCursor } from '../platform/http/listed.ts'
import { longWork } from '../platform/http/long-work.ts'
import { stale } from '../platform/http/problem.ts'
import { act } from '../platform/http/request-facts.ts'
import { id } from '../platform/http/scalars.ts'
import { commitOrQueue, fileOf, prepareCommit } from './commit-import.ts'
import { releaseHomes } from './homes-table/release-homes.ts'
import { askToStop, readProgress } from './import-progress.ts'
import { listImports, readImport } from './import-queries.ts'
import { keepTold } from './keep-import.ts'
import { presentBatch, presentImport } from './present-import.ts'
import { proposalOf } from './read-import.ts'
import { commitBody, importChange, importList, importListQuery, importOut, newImport } from './schemas.ts'
import { keepStarted, prepareImport } from './start-import.ts'
import { undoImport } from './undo-import.ts'

const tags = ['imports']
const config = { scope: 'imports:write' }
const params = z.strictObject({ id })
/** Monitor files go to 20 MB, tables to 50. */
const MAX_UPLOAD = 50 * 1024 * 1024

/** Reading in files: upload and look, tell what cannot be known, commit, undo. */
export const importRoutes =
  ({ db, jobs }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.post(
      '/imports',
      {
        ...longWork,
        config: { ...config, upload: true, refusals: [404] },
        bodyLimit: MAX_UPLOAD,
        schema: {
          operationId: 'startImport',
          summary: 'Upload a file and see how it is read',
          description:
            'Nothing of a home changes before the commit, unless `commit` is sent along with an explicit reading.',
          tags,
          consumes: ['multipart/form-data'],
          body: newImport,
          response: { 201: importOut },
        },
      },
      async (request, reply) => {
        const started = await prepareImport(db, act(request), request.body)
        return creating(request, reply, async tx => {
          const body = await keepStarted(tx, act(request), jobs, started)
          return { location: `/v1/imports/${body.id}`, version: body.version, body }
        })
      },
    )

    app.get(
      '/imports',
      {
        config,
        schema: {
          operationId: 'listImports',
          summary: 'Imports, newest first',
          tags,
          querystring: importListQuery,
          response: { 200: importList },
        },
      },
      async (request, reply) => {
        const { limit } = request.query
        const after = readCursor(request) as [number, string] | null
        const rows = await listImports(db, act(request), { after, limit })
        return listed(request, reply, {
          rows,
          limit,
          cursor: batch => [batch.createdAt, batch.id],
          present: presentBatch,
        })
      },
    )

    app.get(
      '/imports/:id',
      {
        config,
        schema: {
          operationId: 'readImport',
          summary: 'One import with its proposal',
          tags,
          params,
          response: { 200: importOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const batch = await readImport(db, who, request.params.id)
        const { proposal, earlier } = await proposalOf(db, who, batch)
        const progress = batch.state === 'committing' ? await readProgress(db, batch.id) : null
        return tagged(request, reply, batch.version, presentImport(batch, proposal, earlier, progress))
      },
    )

    app.patch(
      '/imports/:id',
      {
        config: { ...config, refusals: [409] },
        schema: {
          operationId: 'tellImport',
          summary: 'Tell parts of the reading and see it anew',
          tags,
          params,
          body: importChange,
          response: { 200: importOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const version = ifMatch(request)
        const batch = await readImport(db, who, request.params.id)
        const { proposal, earlier } = await proposalOf(db, who, batch, request.body.told)
        const kept = await db.transaction(tx => keepTold(tx, who, batch.id, version, proposal!))
        return tagged(request, reply, kept.version, presentImport(kept, proposal, earlier))
      },
    )

    app.post(
      '/imports/:id/commit',
      {
        ...longWork,
        config,
        schema: {
          operationId: 'commitImport',
          summary: 'Write what was read: all of it or nothing',
          tags,
          params,
          body: commitBody,
          response: { 201: importOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const batch = await readImport(db, who, request.params.id)
        const prepared = await prepareCommit(db, who, await fileOf(db, batch), request.body)
        return creating(request, reply, async tx => {
          const done = await commitOrQueue(tx, who, jobs, batch.id, prepared)
          const location = done.testId ? `/v1/tests/${done.testId}` : `/v1/imports/${done.id}`
          return { location, version: done.version, body: presentImport(done, null, null) }
        })
      },
    )

    app.post(
      '/imports/:id/stop',
      {
        config,
        schema: {
          operationId: 'stopImport',
          summary: 'Stop an import of homes that is being written: it then leaves nothing',
          description:
            'Of an import that is not being written it changes nothing; one that is written already is undone.',
          tags,
          params,
          response: { 200: importOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const batch = await readImport(db, who, request.params.id)
        if (ifMatch(request) !== batch.version) throw stale(batch.version)
        if (batch.state === 'committing') await askToStop(db, batch.id)
        return tagged(request, reply, batch.version, presentImport(batch, null, null, await readProgress(db, batch.id)))
      },
    )

    app.post(
      '/imports/:id/release-reminders',
      {
        config,
        schema: {
          operationId: 'releaseImportReminders',
          summary: 'Let reminders of the homes an import wrote to go out like all others',
          tags,
          params,
          response: { 200: importOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const batch = await readImport(db, who, request.params.id)
        if (ifMatch(request) !== batch.version) throw stale(batch.version)
        await db.transaction(tx => releaseHomes(tx, who, batch.id))
        return tagged(request, reply, batch.version, presentImport(batch, null, null))
      },
    )

    app.post(
      '/imports/:id/undo',
      {
        config: { ...config, refusals: [409] },
        schema: {
          operationId: 'undoImport',
          summary: 'Take back what an import made',
          tags,
          params,
          response: { 200: importOut },
        },
      },
      async (request, reply) => {
        const who = act(request)
        const version = ifMatch(request)
        const undone = await db.transaction(tx => undoImport(tx, who, request.params.id, version))
        return tagged(request, reply, undone.version, presentImport(undone, null, null))
      },
    )
  }
