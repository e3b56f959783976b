import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { monthOf } from '../../domain/calendar/month.ts'
import { hasRole } from '../../platform/auth/actor.ts'
import type { Deps } from '../../platform/deps.ts'
import { page } from '../../platform/http/forms.ts'
import { pageCursor, readPageCursor } from '../../platform/http/page-cursor.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { MonthView } from './month-view.tsx'
import { monthSettings, readMonth, wholeMonth } from './queries.ts'
import { month, monthKind, monthState } from './schemas.ts'

const config = { page: ['owner', 'office'] as const }
const perPage = 100
const part = z
  .string()
  .trim()
  .max(120)
  .transform(text => text || null)
  .nullable()
  .catch(null)
  .default(null)
// An address that was typed wrongly shows the list of this month, not a page of faults.
const asked = z.object({
  month: month.optional().catch(undefined),
  kind: monthKind.nullable().catch(null).default(null),
  state: monthState.or(z.literal('all')).catch('open').default('open'),
  where: part,
  region: part,
  after: z.string().max(800).optional().catch(undefined),
})
const townToId = z.tuple([z.string(), z.string(), z.string(), z.uuid()])

/** The month's list: what is due, by town, until it is booked. */
export const monthPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.month(), { config, schema: { querystring: asked } }, async (request, reply) => {
      const who = act(request)
      const { query } = request
      const [{ frame }, settings] = await Promise.all([pageFacts(request), monthSettings(db, request.now)])
      const list = {
        ...wholeMonth,
        ...query,
        month: query.month ?? monthOf(settings.today),
        state: query.state === 'all' ? null : query.state,
        after: readPageCursor(townToId, query.after),
        limit: perPage,
      }
      const { counts, homes } = await readMonth(db, who, settings, list)
      const shown = homes.slice(0, perPage)
      const last = homes.length > perPage ? shown.at(-1) : undefined
      const next = last
        ? paths.month({
            ...query,
            month: list.month,
            after: pageCursor([last.city, last.postcode, last.street, last.id]),
          })
        : null
      return page(
        reply,
        <Frame {...frame} title="Month" place="month" wide>
          <MonthView
            {...{ asked: list, settings, counts, next }}
            homes={shown}
            mayChangeAge={hasRole(who.actor, 'owner')}
          />
        </Frame>,
      )
    })
  }
