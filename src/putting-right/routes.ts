import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { auditRead } from '../platform/db/audit-read.ts'
import type { Deps } from '../platform/deps.ts'
import { ifMatch, tagged, tagOfShown } from '../platform/http/etag.ts'
import { creating } from '../platform/http/idempotency.ts'
import { listed, readCursor } from '../platform/http/listed.ts'
import { longWork } from '../platform/http/long-work.ts'
import { stale } from '../platform/http/problem.ts'
import { act } from '../platform/http/request-facts.ts'
import { id } from '../platform/http/scalars.ts'
import { listCorrections, readCorrection } from './correction-queries.ts'
import { correctionIn } from './kinds.ts'
import { presentCorrection, presentForeseen, seesWords } from './present.ts'
import { foreseen, putRight } from './put-right.ts'
import { correctionList, correctionOut, correctionQuery, foreseenOut, undoing } from './schemas.ts'
import { undoCorrection } from './undo-correction.ts'

const tags = ['corrections']
const params = z.strictObject({ id })
const reads = { config: { scope: 'corrections:read' } }
const writes = { config: { scope: 'corrections:write', refusals: [404, 409] } }

/** Putting right what was recorded wrongly: foreseen, done, undone. */
export const correctionRoutes =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const put = {
      operationId: 'putRight',
      summary: 'Put something right: move it to the home it belongs to, take it out of the reckoning, merge doubles',
      description:
        'With `dryRun` nothing is changed: the answer is 200 with where each home would stand before and after. ' +
        'Its `tag`, sent along, makes the correction be refused where it would change something else by then.',
      tags,
      body: correctionIn,
      response: { 200: foreseenOut, 201: correctionOut },
    }
    app.post('/corrections', { ...longWork, ...writes, schema: put }, async (request, reply) => {
      const who = act(request)
      const asked = request.body
      const words = seesWords(who.actor)
      if (asked.dryRun) return reply.send(presentForeseen(await foreseen(db, who, asked), words))
      return creating(request, reply, async tx => {
        const { correction } = await putRight(tx, who, asked)
        const { id, version } = correction
        return { location: `/v1/corrections/${id}`, version, body: presentCorrection(correction, words) }
      })
    })

    const list = {
      operationId: 'listCorrections',
      summary: 'What was put right, newest first; undone ones too',
      tags,
      querystring: correctionQuery,
      response: { 200: correctionList },
    }
    app.get('/corrections', { ...reads, schema: list }, async (request, reply) => {
      const who = act(request)
      const words = seesWords(who.actor)
      const { limit, propertyId } = request.query
      const [before] = (readCursor(request) as [string] | null) ?? []
      const rows = await listCorrections(db, who, { limit, propertyId, before })
      if (words) await auditRead(db, who, 'correction', rows.slice(0, limit).map(looked))
      return listed(request, reply, {
        rows,
        limit,
        cursor: row => [row.id],
        present: row => presentCorrection(row, words),
      })
    })

    const read = {
      operationId: 'readCorrection',
      summary: 'One correction, with what it changed',
      tags,
      params,
      response: { 200: correctionOut },
    }
    app.get('/corrections/:id', { ...reads, schema: read }, async (request, reply) => {
      const who = act(request)
      const words = seesWords(who.actor)
      const correction = await readCorrection(db, who, request.params.id)
      if (words) await auditRead(db, who, 'correction', [looked(correction)])
      return tagged(request, reply, tagOfShown(correction.version, words), presentCorrection(correction, words))
    })

    const undo = {
      operationId: 'undoCorrection',
      summary: 'Undo a correction: everything is put back as it was',
      description: 'Refused with 409 where something hangs on it since; the errors name each such thing.',
      tags,
      params,
      body: undoing,
      response: { 200: correctionOut },
    }
    app.post('/corrections/:id/undo', { ...writes, schema: undo }, async (request, reply) => {
      const who = act(request)
      const version = ifMatch(request)
      const words = seesWords(who.actor)
      const { correction } = await db.transaction(async tx => {
        const undone = await undoCorrection(tx, who, request.params.id, request.body.reason)
        if (undone.correction.version !== version + 1) throw stale(undone.correction.version - 1)
        return undone
      })
      return tagged(request, reply, tagOfShown(correction.version, words), presentCorrection(correction, words))
    })
  }

const looked = ({ id, propertyIds }: { readonly id: string; readonly propertyIds: readonly string[] }) => ({
  id,
  propertyId: propertyIds[0] ?? null,
})
