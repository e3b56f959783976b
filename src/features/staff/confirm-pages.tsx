import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { Deps } from '../../platform/deps.ts'
import { page, readForm } from '../../platform/http/forms.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { anyone, faultsOf } from './access.ts'
import { presentFault } from './account-pages.tsx'
import { keepForm, keptFormOf } from './kept-form.ts'
import { ConfirmView } from './password-views.tsx'
import { staffById } from './queries.ts'
import { safeNext } from './safe-next.ts'
import { confirmForm, nextQuery } from './schemas.ts'
import { markConfirmed } from './session-queries.ts'
import { passwordConfirmed } from './sign-in.ts'
import { KeptFormView } from './sign-in-view.tsx'

/** The password once more, before people, rules and apps. */
export const confirmPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.confirm(), { config: anyone, schema: { querystring: nextQuery } }, async (request, reply) =>
      confirmPage(request, reply, { next: safeNext(request.query.next), kept: '' }),
    )

    app.post(paths.confirm(), { config: anyone }, async (request, reply) => {
      const { actor } = act(request)
      const read = readForm(confirmForm, request.body)
      const { next = '', kept = '' } = request.body as { next?: string; kept?: string }
      if (!read.ok) return confirmPage(request, reply.code(422), { next, kept, faults: faultsOf(read.problems) })
      const person = actor.kind === 'staff' ? await staffById(db, actor.id) : null
      if (actor.kind !== 'staff' || !person) return reply.redirect(paths.ledger(), 303)
      const known = await passwordConfirmed(db, person, read.data.password, { now: request.now, address: request.ip })
      request.log.info({ action: 'confirm-password', actor: actor.id, outcome: known }, 'password asked again')
      if (known !== 'right')
        return confirmPage(request, reply.code(422), { next, kept, faults: [presentFault(known, 'password')] })
      await markConfirmed(db, actor.sessionId, request.now)
      return goOn(request, reply, read.data)
    })
  }

/** Answers what needs a password entered just now: asks for it, then goes on from there with what was sent. */
export function confirmFirst(request: FastifyRequest, reply: FastifyReply): FastifyReply | Promise<FastifyReply> {
  if (request.method === 'GET' || request.method === 'HEAD')
    return reply.redirect(paths.confirm(safeNext(request.url)), 303)
  return confirmPage(request, reply.code(403), { next: '/', kept: keepForm(request.url, request.body) ?? '' })
}

async function goOn(request: FastifyRequest, reply: FastifyReply, { next, kept }: { next: string; kept: string }) {
  const form = keptFormOf(kept)
  if (!form) return reply.redirect(safeNext(next), 303)
  const { frame } = await pageFacts(request)
  return page(
    reply,
    <Frame {...frame} title="Look once more">
      <KeptFormView csrf={frame.csrf} form={form} />
    </Frame>,
  )
}

async function confirmPage(
  request: FastifyRequest,
  reply: FastifyReply,
  shown: { next: string; kept: string; faults?: readonly FieldFault[] },
) {
  const { frame } = await pageFacts(request)
  return page(
    reply,
    <Frame {...frame} title="Is it still you?" faulty={Boolean(shown.faults)}>
      <ConfirmView csrf={frame.csrf} {...shown} />
    </Frame>,
  )
}
