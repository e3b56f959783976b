import { PassThrough, type Writable } from 'node:stream'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { auditLine } from '../../platform/db/audit-line.ts'
import type { Deps } from '../../platform/deps.ts'
import { page } from '../../platform/http/forms.ts'
import { longWork } from '../../platform/http/long-work.ts'
import { act } from '../../platform/http/request-facts.ts'
import { instantText } from '../../platform/http/scalars.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { ExportView } from './export-view.tsx'
import { sayCaution } from './say-caution.ts'

/** Everything at once is what a thief would want: only the owner, and only with a password entered just now. */
const ownerConfirmed = { page: ['owner'] as const, confirmed: true as const }
/** A large company over a slow line; when nobody reads any more it ends long before. */
const longestDownload = 6 * 3_600_000

export type TakeExport = (options: {
  readonly now: number
  readonly caution: string
}) => Promise<{ writeInto(sink: Writable): Promise<unknown> }>

/** Every record out in one archive, sent as it is read from the database. */
export const exportPages =
  ({ db }: Deps, takeExport: TakeExport): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.everything(), { config: ownerConfirmed }, async (request, reply) => {
      const { frame } = await pageFacts(request)
      return page(
        reply,
        <Frame {...frame} title="Everything on record" place="office">
          <ExportView csrf={frame.csrf} />
        </Frame>,
      )
    })

    app.post(
      paths.everything(),
      { config: ownerConfirmed, ...longWork, handlerTimeout: longestDownload },
      async (request, reply) => {
        await auditLine(db, act(request), 'export', 'everything')
        const taken = await takeExport({ now: request.now, caution: await sayCaution(db) })
        const archive = new PassThrough()
        taken
          .writeInto(archive)
          .catch(error => request.log.warn({ err: error }, 'an export was not written to its end'))
        const day = instantText(request.now).slice(0, 10)
        return reply
          .headers({
            'content-disposition': `attachment; filename="records-${day}.zip"`,
            'cache-control': 'no-store',
          })
          .type('application/zip')
          .send(archive)
      },
    )
  }
