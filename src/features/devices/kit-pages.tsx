import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../../platform/deps.ts'
import { page, withFieldProblems } from '../../platform/http/forms.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { type FieldFault, faultsFrom } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { dateReadingFor, type TypedFields, textIn } from '../../web/typed-fields.ts'
import { kitLimits } from './kit-limit-queries.ts'
import { readKit } from './kit-queries.ts'
import { KitView } from './kit-view.tsx'
import { correctKit, voidKit } from './leave-kit.ts'
import { readKitDays } from './read-home-form.ts'

const config = { page: ['owner', 'office', 'crew'] as const }
const office = { page: ['owner', 'office'] as const }
const params = z.strictObject({ id: z.uuid() })

/** One mail-in kit: what is known of it and what is said of it next. */
export const kitPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.kit(':id'), { config, schema: { params } }, async (request, reply) =>
      kitPage(request, reply, request.params.id),
    )

    app.post(paths.kitStep(':id', 'days'), { config, schema: { params } }, async (request, reply) => {
      const typed = request.body as TypedFields
      const { id } = request.params
      const kit = await readKit(db, act(request), id)
      const read = readKitDays(typed, dateReadingFor(kit, request.now))
      if (!read.ok) return kitPage(request, reply, id, typed, read.faults)
      const version = Number(textIn(typed, 'version'))
      const said = await withFieldProblems(() =>
        db.transaction(tx => correctKit(tx, act(request), id, version, read.value)),
      )
      if (!said.ok) return kitPage(request, reply, id, typed, faultsFrom(said.problems))
      return reply.redirect(paths.kit(id), 303)
    })

    app.post(paths.kitStep(':id', 'void'), { config: office, schema: { params } }, async (request, reply) => {
      const typed = request.body as TypedFields
      const { id } = request.params
      const reason = textIn(typed, 'why-void')
      if (!reason)
        return kitPage(request, reply, id, typed, [
          { name: 'why-void', message: 'Say why: the reason stays in the history' },
        ])
      const { propertyId } = await readKit(db, act(request), id)
      await db.transaction(tx => voidKit(tx, act(request), id, Number(textIn(typed, 'version')), reason))
      return reply.redirect(paths.homeDevices(propertyId), 303)
    })

    async function kitPage(
      request: FastifyRequest,
      reply: FastifyReply,
      id: string,
      typed: TypedFields = {},
      faults: readonly FieldFault[] = [],
    ) {
      const who = act(request)
      const [{ frame }, kit, limits] = await Promise.all([pageFacts(request), readKit(db, who, id), kitLimits(db)])
      if (faults.length) reply.code(422)
      return page(
        reply,
        <Frame {...frame} title={`Kit ${kit.number}`} home={kit.address} place="devices" faulty={faults.length > 0}>
          <KitView
            {...{ kit, typed, faults, csrf: frame.csrf, now: request.now }}
            limits={limits.find(limit => limit.method === kit.method) ?? null}
            office={who.actor.kind === 'staff' && who.actor.roles.some(role => role !== 'crew')}
          />
        </Frame>,
      )
    }
  }
