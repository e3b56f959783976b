import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { searchHomes } from '../features/search/search-homes.ts'
import { testChoices } from '../features/tests/page-queries.ts'
import { hasRole } from '../platform/auth/actor.ts'
import type { Deps } from '../platform/deps.ts'
import { formKey, page, readForm, withFieldProblems } from '../platform/http/forms.ts'
import { submitting } from '../platform/http/idempotency.ts'
import { pageCursor, readPageCursor } from '../platform/http/page-cursor.ts'
import { act } from '../platform/http/request-facts.ts'
import { isUploadedFile } from '../platform/http/upload-body.ts'
import { pageFacts } from '../standing/page-facts.ts'
import type { FieldFault } from '../web/error-summary.tsx'
import { Frame } from '../web/frame.tsx'
import { paths } from '../web/paths.ts'
import { importPage } from './import-page.tsx'
import { listImports } from './import-queries.ts'
import { readingParts } from './monitor-file/reading.ts'
import { listSavedReadings } from './saved-readings.ts'
import { importKind } from './schemas.ts'
import { keepStarted, prepareImport } from './start-import.ts'
import { ImportListView } from './view/import-list-view.tsx'
import { UploadView } from './view/upload-view.tsx'

const config = { page: ['owner', 'office', 'crew'] as const }
const MAX_UPLOAD = 50 * 1024 * 1024
const PER_PAGE = 50
const choosing = z.strictObject({ home: z.uuid().optional(), q: z.string().trim().max(200).default('') })
const listing = z.strictObject({ after: z.string().max(500).optional() })
const timeAndId = z.tuple([z.number(), z.uuid()])
const looking = z.strictObject({ part: z.enum(readingParts).optional() })
const uploadForm = z.object({
  file: z.any().refine(isUploadedFile, 'Choose the file'),
  kind: importKind,
  propertyId: z.uuid().optional(),
  savedReading: z.string().max(100).optional(),
})

/** Choosing a file, looking at it, and the list of what was read in. */
export const importPages =
  ({ db, jobs }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.imports(), { config, schema: { querystring: listing } }, async (request, reply) => {
      const { frame, zone } = await pageFacts(request)
      const after = readPageCursor(timeAndId, request.query.after)
      const rows = await listImports(db, act(request), { after, limit: PER_PAGE })
      const batches = rows.slice(0, PER_PAGE)
      const last = rows.length > PER_PAGE ? batches.at(-1) : undefined
      const next = last ? `${paths.imports()}?after=${pageCursor([last.createdAt, last.id])}` : null
      return page(
        reply,
        <Frame {...frame} title="Imports" place="homes">
          <ImportListView {...{ batches, zone, next }} more={next !== null} />
        </Frame>,
      )
    })

    app.get(paths.newImport(), { config, schema: { querystring: choosing } }, async (request, reply) =>
      uploadPage(request, reply, request.query),
    )

    app.post(
      paths.newImport(),
      { config: { ...config, upload: true }, bodyLimit: MAX_UPLOAD, schema: { querystring: choosing } },
      async (request, reply) => {
        const read = readForm(uploadForm, request.body)
        if (!read.ok)
          return uploadPage(request, reply, request.query, [{ name: 'file', message: 'Choose the file first' }])
        const done = await withFieldProblems(async () => {
          const started = await prepareImport(db, act(request), read.data)
          await submitting(request, reply, async tx =>
            paths.import((await keepStarted(tx, act(request), jobs, started)).id),
          )
        })
        if (done.ok) return reply
        const faults = done.problems.map(({ message }) => ({ name: 'file', message }))
        return uploadPage(request, reply, request.query, faults)
      },
    )

    app.get(
      paths.import(':id'),
      { config, schema: { params: z.strictObject({ id: z.uuid() }), querystring: looking } },
      async (request, reply) => importPage(request, reply, { id: request.params.id, open: request.query.part ?? null }),
    )

    async function uploadPage(
      request: FastifyRequest,
      reply: FastifyReply,
      { home: homeId, q }: z.output<typeof choosing>,
      faults: readonly FieldFault[] = [],
    ) {
      const who = act(request)
      const { frame } = await pageFacts(request)
      const home = homeId ? await testChoices(db, who, homeId) : null
      const found = q === '' ? [] : await searchHomes(db, who, q, 20, kind => kind !== 'phone' && kind !== 'email')
      const saved = await listSavedReadings(db)
      const named = (of: string) => saved.filter(({ kind }) => kind === of).map(({ name }) => name)
      const shown = { home, found, faults, savedReadings: named('monitor-record'), savedMappings: named('homes-table') }
      if (faults.length > 0) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="Import a file" home={home?.address} place="homes" faulty={faults.length > 0}>
          <UploadView
            {...shown}
            query={q}
            csrf={frame.csrf}
            formKey={formKey()}
            mayBringBook={hasRole(who.actor, 'owner', 'office')}
          />
        </Frame>,
      )
    }
  }
