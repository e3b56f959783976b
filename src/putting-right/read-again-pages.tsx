import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { localDayOf } from '../domain/calendar/local-day.ts'
import { testChoices } from '../features/tests/page-queries.ts'
import { companyZone, readImport } from '../intake/import-queries.ts'
import type { Deps } from '../platform/deps.ts'
import { page, withFieldProblems } from '../platform/http/forms.ts'
import { longWork } from '../platform/http/long-work.ts'
import { act } from '../platform/http/request-facts.ts'
import { pageFacts } from '../standing/page-facts.ts'
import type { FieldFault } from '../web/error-summary.tsx'
import { Frame } from '../web/frame.tsx'
import { List } from '../web/list.tsx'
import { paths } from '../web/paths.ts'
import type { TypedFields } from '../web/typed-fields.ts'
import { listCorrections } from './correction-queries.ts'
import { CorrectionLine } from './correction-view.tsx'
import { previewOrDo } from './preview-page.tsx'
import { ReadAgainForm } from './read-again/read-again-form.tsx'
import { readAgainTyped } from './read-again/read-again-typed.ts'

const config = { page: ['owner', 'office'] as const }
const params = z.strictObject({ id: z.uuid() })

/** The kept file of an import is read with another unit or clock: what would change is shown first. */
export const readAgainPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const url = paths.importStep(':id', 'read-again')

    app.get(url, { config, schema: { params } }, (request, reply) =>
      formPage(request, reply, request.params.id, { typed: {}, faults: [] }),
    )

    app.post(url, { ...longWork, config, schema: { params } }, async (request, reply) => {
      const { id } = request.params
      const typed = request.body as TypedFields
      const batch = await readImport(db, act(request), id)
      const read = readAgainTyped(batch, typed)
      if (!read.ok) return formPage(request, reply, id, { typed, faults: read.faults })
      const shown = await withFieldProblems(() =>
        previewOrDo(request, reply, read.asked, paths.importStep(id, 'read-again')),
      )
      if (shown.ok) return reply
      const faults = shown.problems.map(({ message }) => ({ name: '', message }))
      return formPage(request, reply, id, { typed, faults })
    })

    type Again = { readonly typed: TypedFields; readonly faults: readonly FieldFault[] }
    async function formPage(request: FastifyRequest, reply: FastifyReply, id: string, again: Again) {
      const who = act(request)
      const batch = await readImport(db, who, id)
      const [corrections, { frame, zone }, home, office] = await Promise.all([
        listCorrections(db, who, { nounId: id, limit: 50 }),
        pageFacts(request),
        batch.propertyId ? testChoices(db, who, batch.propertyId) : null,
        companyZone(db),
      ])
      const today = localDayOf(request.now, zone)
      const zones = [...new Set([home?.zone ?? office, office])]
      if (again.faults.length > 0) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="Read a file again" home={home?.address} place="homes" faulty={again.faults.length > 0}>
          <ReadAgainForm {...{ batch, zones, csrf: frame.csrf, ...again }} />
          <List
            title="What was put right"
            order="newest first"
            count={corrections.length}
            noun={['correction', 'corrections']}
            items={corrections.map(correction => <CorrectionLine {...{ correction, zone, today }} />)}
            empty={{ text: 'This file was not read again yet. Whenever it is, that can be undone from here.' }}
          />
        </Frame>,
      )
    }
  }
