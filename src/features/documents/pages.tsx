import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../../platform/deps.ts'
import { type FieldProblem, formKey, page, readForm, type Typed, withFieldProblems } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { notFound } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { seenHome } from '../../standing/seen-home.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { readPicture } from './file-queries.ts'
import { keepNote } from './keep-note.ts'
import { noteForm } from './note-form.ts'
import { NotePage } from './note-page.tsx'
import { reencodePhoto } from './reencode-photo.ts'
import { photoLimit } from './schemas.ts'

const config = { page: ['owner', 'office', 'crew'] as const }
const schema = { params: z.strictObject({ id }) }

/** Notes and photos of a home, and the pictures themselves. */
export const notesPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.homeNotes(':id'), { config, schema }, async (request, reply) =>
      formPage(request, reply, request.params.id, {}),
    )

    const upload = { config: { ...config, upload: true }, bodyLimit: photoLimit, schema }
    app.post(paths.homeNotes(':id'), upload, async (request, reply) => {
      const { id: homeId } = request.params
      const typed = request.body as Typed
      const read = readForm(noteForm(homeId), request.body)
      if (!read.ok) return formPage(request, reply, homeId, typed, read.problems)
      const kept = await withFieldProblems(async () => {
        const { photo, ...note } = read.data
        const picture = photo ? await reencodePhoto(photo.bytes) : null
        await submitting(request, reply, async tx => {
          const { id: noteId } = await keepNote(tx, act(request), note, picture)
          return `${paths.home(homeId)}#fact-note-${noteId}`
        })
      })
      return kept.ok ? reply : formPage(request, reply, homeId, typed, kept.problems)
    })

    for (const size of ['photo', 'thumbnail'] as const) {
      const path = size === 'photo' ? paths.file(':id') : `${paths.file(':id')}/small`
      app.get(path, { config, schema }, async (request, reply) => {
        const picture = await readPicture(db, act(request), request.params.id, size)
        if (!picture) throw notFound('photo')
        return reply.type(picture.mediaType).send(picture.bytes)
      })
    }

    async function formPage(
      request: FastifyRequest,
      reply: FastifyReply,
      homeId: string,
      typed: Typed,
      problems: readonly FieldProblem[] = [],
    ) {
      await seenHome(db, act(request), homeId)
      const { frame } = await pageFacts(request)
      if (problems.length > 0) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="Note or photo" place="homes" faulty={problems.length > 0}>
          <NotePage
            {...{ homeId, csrf: frame.csrf, formKey: formKey(), text: String(typed.text ?? '') }}
            faults={problems.map(({ field, message }) => ({ name: field || 'photo', message }))}
          />
        </Frame>,
      )
    }
  }
