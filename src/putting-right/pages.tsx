import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { localDayOf } from '../domain/calendar/local-day.ts'
import type { Deps } from '../platform/deps.ts'
import { page } from '../platform/http/forms.ts'
import { pageCursor, readPageCursor } from '../platform/http/page-cursor.ts'
import { Problem } from '../platform/http/problem.ts'
import { act } from '../platform/http/request-facts.ts'
import { pageFacts } from '../standing/page-facts.ts'
import { correctionWords } from '../web/correction-words.ts'
import type { FieldFault } from '../web/error-summary.tsx'
import { Frame } from '../web/frame.tsx'
import { paths } from '../web/paths.ts'
import { type TypedFields, textIn } from '../web/typed-fields.ts'
import { listCorrections, readCorrection } from './correction-queries.ts'
import { CorrectionsList, CorrectionView } from './correction-view.tsx'
import { placeOf } from './place-of.ts'
import { undo, undoForeseen } from './put-right.ts'
import { UndoView } from './undo-view.tsx'

const config = { page: ['owner', 'office'] as const }
const params = z.strictObject({ id: z.uuid() })
const querystring = z.strictObject({ after: z.string().max(200).optional() })
const perPage = 50

/** What was put right, and its undoing. */
export const correctionPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.corrections(), { config, schema: { querystring } }, async (request, reply) => {
      const [before] = readPageCursor(z.tuple([z.uuid()]), request.query.after) ?? []
      const rows = await listCorrections(db, act(request), { limit: perPage, before })
      const { frame, zone } = await pageFacts(request)
      const corrections = rows.slice(0, perPage)
      const last = rows.length > perPage ? corrections.at(-1) : undefined
      const next = last ? paths.corrections({ after: pageCursor([last.id]) }) : null
      return page(
        reply,
        <Frame {...frame} title="What was put right" place="homes">
          <CorrectionsList {...{ corrections, next, zone }} today={localDayOf(request.now, zone)} />
        </Frame>,
      )
    })

    app.get(paths.correction(':id'), { config, schema: { params } }, (request, reply) =>
      correctionPage(request, reply, request.params.id),
    )

    app.post(paths.undoCorrection(':id'), { config, schema: { params } }, async (request, reply) => {
      const who = act(request)
      const { id } = request.params
      const typed = request.body as TypedFields
      const reason = textIn(typed, 'reason').slice(0, 500)
      const tag = textIn(typed, 'tag')
      if (!reason) return correctionPage(request, reply, id, { faults: [{ name: 'reason', message: 'Say why.' }] })
      try {
        if (!tag) return await undoPage(request, reply, id, reason)
        await db.transaction(tx => undo(tx, who, id, reason, tag))
        return reply.redirect(paths.correction(id), 303)
      } catch (error) {
        if (!(error instanceof Problem) || error.status !== 409) throw error
        const hanging = error.errors.length > 0 ? error.errors.map(({ detail }) => detail) : [error.message]
        return correctionPage(request, reply, id, { hanging, reason })
      }
    })

    type Again = { faults?: readonly FieldFault[]; hanging?: readonly string[]; reason?: string }
    async function correctionPage(request: FastifyRequest, reply: FastifyReply, id: string, again: Again = {}) {
      const { faults = [], hanging = [], reason = '' } = again
      const correction = await readCorrection(db, act(request), id)
      const { frame, zone } = await pageFacts(request)
      if (faults.length > 0) reply.code(422)
      if (hanging.length > 0) reply.code(409)
      return page(
        reply,
        <Frame
          {...frame}
          title={correctionWords(correction)}
          place={placeOf(correction)}
          faulty={faults.length + hanging.length > 0}
          wide
        >
          <CorrectionView
            {...{ correction, zone, faults, hanging, reason, csrf: frame.csrf }}
            today={localDayOf(request.now, zone)}
          />
        </Frame>,
      )
    }

    async function undoPage(request: FastifyRequest, reply: FastifyReply, id: string, reason: string) {
      const { correction, standings, tag } = await undoForeseen(db, act(request), id)
      const { frame, zone } = await pageFacts(request)
      return page(
        reply,
        <Frame {...frame} title="What undoing changes" place={placeOf(correction)} wide>
          <UndoView
            {...{ correction, standings, tag, reason, csrf: frame.csrf }}
            today={localDayOf(request.now, zone)}
          />
        </Frame>,
      )
    }
  }
