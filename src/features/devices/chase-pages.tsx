import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Deps } from '../../platform/deps.ts'
import { page } from '../../platform/http/forms.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { numberIn, type TypedFields, textIn } from '../../web/typed-fields.ts'
import { chaseList } from './chase-list.ts'
import { ChaseView } from './chase-view.tsx'
import { changeKitLimit, kitLimits } from './kit-limit-queries.ts'
import { kitLimitChange } from './kit-schemas.ts'
import { LimitsView } from './limits-view.tsx'

const office = { page: ['owner', 'office'] as const }
const params = z.strictObject({ method: z.string().max(60) })

/** What has to be run after, and after how many days. */
export const chasePages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.chase(), { config: office }, async (request, reply) => {
      const [{ frame, zone }, list] = await Promise.all([pageFacts(request), chaseList(db, act(request))])
      return page(
        reply,
        <Frame {...frame} title="Devices to chase" place="devices" wide>
          <ChaseView list={list} today={localDayOf(request.now, zone)} />
        </Frame>,
      )
    })

    app.get(paths.kitLimits(), { config: office }, async (request, reply) => limitsPage(request, reply, '', {}))

    app.post(`${paths.kitLimits()}/:method`, { config: office, schema: { params } }, async (request, reply) => {
      const typed = request.body as TypedFields
      const { method } = request.params
      const faults: FieldFault[] = []
      const read = kitLimitChange.safeParse(limitIn(typed, method, faults))
      if (!read.success)
        for (const { path, message } of read.error.issues)
          faults.push({ name: `${method}-${String(path[0])}`, message: sayDays(message) })
      if (!read.success || faults.length > 0) return limitsPage(request, reply, method, typed, faults)
      const version = Number(textIn(typed, 'version'))
      await db.transaction(tx => changeKitLimit(tx, act(request), method, version, read.data))
      return reply.redirect(paths.kitLimits(), 303)
    })

    async function limitsPage(
      request: FastifyRequest,
      reply: FastifyReply,
      method: string,
      typed: TypedFields,
      faults: readonly FieldFault[] = [],
    ) {
      const [{ frame }, limits] = await Promise.all([pageFacts(request), kitLimits(db)])
      if (faults.length) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title="Days for kits" place="devices" faulty={faults.length > 0}>
          <LimitsView {...{ limits, method, typed, faults, csrf: frame.csrf }} />
        </Frame>,
      )
    }
  }

const sayDays = (message: string) => (/received/.test(message) ? 'Write a number of days from 1 to 1000' : message)

function limitIn(typed: TypedFields, method: string, faults: FieldFault[]): unknown {
  const days = (name: string) => {
    const said = numberIn(typed, `${method}-${name}`, faults)
    return said === null ? null : Number(said)
  }
  return {
    askAfterDays: days('askAfterDays'),
    longestExposureDays: days('longestExposureDays'),
    laboratoryWithinDays: days('laboratoryWithinDays'),
    answerWithinDays: days('answerWithinDays'),
    source: textIn(typed, `${method}-source`),
  }
}
