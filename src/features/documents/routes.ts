import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../../platform/deps.ts'
import { ifMatch, tagged } from '../../platform/http/etag.ts'
import { creating } from '../../platform/http/idempotency.ts'
import { listed, readCursor } from '../../platform/http/listed.ts'
import { notFound } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { id } from '../../platform/http/scalars.ts'
import { readPicture } from './file-queries.ts'
import { keepNote, voidNote } from './keep-note.ts'
import { presentNote, versionOf } from './present.ts'
import { listNotes, readNote } from './queries.ts'
import { reencodePhoto } from './reencode-photo.ts'
import { newNote, newPhoto, noteList, noteListQuery, noteOut, noteVoiding, photoLimit } from './schemas.ts'

const params = z.strictObject({ id })
const tags = ['notes']
const reads = { config: { scope: 'notes:read' } }
const writes = { config: { scope: 'notes:write' } }

export const notesRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const list = {
      operationId: 'listNotes',
      summary: 'Notes and photos, newest first',
      tags,
      querystring: noteListQuery,
      response: { 200: noteList },
    }
    app.get('/notes', { ...reads, schema: list }, async (request, reply) => {
      const { limit, cursor: _, ...filter } = request.query
      const [before = null] = (readCursor(request) as [string] | null) ?? []
      const rows = await listNotes(db, act(request), { ...filter, before, limit })
      return listed(request, reply, { rows, limit, cursor: note => [note.id], present: presentNote })
    })

    const write = {
      operationId: 'writeNote',
      summary: 'Write a note on a record',
      tags,
      body: newNote,
      response: { 201: noteOut },
    }
    app.post('/notes', { config: { ...writes.config, refusals: [404] }, schema: write }, async (request, reply) =>
      creating(request, reply, async tx => {
        const note = await keepNote(tx, act(request), request.body, null)
        return { location: `/v1/notes/${note.id}`, version: versionOf(note), body: presentNote(note) }
      }),
    )

    const photograph = {
      operationId: 'keepPhoto',
      summary: 'Keep a photo on a record',
      description:
        'multipart/form-data. JPEG, PNG or WebP up to 15 MB; kept as JPEG without the position a camera writes into it.',
      tags,
      consumes: ['multipart/form-data'],
      body: newPhoto,
      response: { 201: noteOut },
    }
    const upload = { config: { ...writes.config, upload: true, refusals: [404] }, bodyLimit: photoLimit }
    app.post('/photos', { ...upload, schema: photograph }, async (request, reply) => {
      const { photo, text = '', ...on } = request.body
      const picture = await reencodePhoto(photo.bytes)
      return creating(request, reply, async tx => {
        const note = await keepNote(tx, act(request), { ...on, text }, picture)
        return { location: `/v1/notes/${note.id}`, version: versionOf(note), body: presentNote(note) }
      })
    })

    const one = { operationId: 'readNote', summary: 'One note', tags, params, response: { 200: noteOut } }
    app.get('/notes/:id', { ...reads, schema: one }, async (request, reply) => {
      const note = await readNote(db, act(request), request.params.id)
      return tagged(request, reply, versionOf(note), presentNote(note))
    })

    const voiding = {
      operationId: 'voidNote',
      summary: 'Strike a note through',
      tags,
      params,
      body: noteVoiding,
      response: { 200: noteOut },
    }
    app.post('/notes/:id/void', { ...writes, schema: voiding }, async (request, reply) => {
      const { id: noteId } = request.params
      const note = await db.transaction(tx => voidNote(tx, act(request), noteId, ifMatch(request), request.body.reason))
      return tagged(request, reply, versionOf(note), presentNote(note))
    })

    for (const size of ['photo', 'thumbnail'] as const) {
      const schema = {
        operationId: size === 'photo' ? 'readPhoto' : 'readThumbnail',
        summary: size === 'photo' ? 'The photo of a note' : 'The photo of a note, within 360 pixels',
        tags,
        params,
        produces: ['image/jpeg'],
      }
      const config = { ...reads.config, produces: ['image/jpeg', 'application/problem+json'] }
      app.get(`/notes/:id/${size}`, { config, schema }, async (request, reply) => {
        const picture = await readPicture(db, act(request), request.params.id, size)
        if (!picture) throw notFound('photo')
        return tagged(request, reply.type(picture.mediaType), picture.tag, picture.bytes)
      })
    }
  }
