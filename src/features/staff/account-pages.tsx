import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { Actor } from '../../platform/auth/actor.ts'
import type { Deps } from '../../platform/deps.ts'
import { page, readForm } from '../../platform/http/forms.ts'
import { notFound, problem } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { anyone, faultsOf } from './access.ts'
import { AccountView } from './account-view.tsx'
import { absoluteLifetime } from './find-session.ts'
import { newPasswordFault } from './new-password-fault.ts'
import { passwordHashOf } from './password-hash.ts'
import { type Person, staffById } from './queries.ts'
import { changePasswordForm, sessionForm } from './schemas.ts'
import { endSession, openSessions } from './session-queries.ts'
import { replacePassword } from './set-password.ts'
import { passwordConfirmed } from './sign-in.ts'

/** One's own account. */
export const accountPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.account(), { config: anyone }, (request, reply) => accountPage(request, reply))

    app.post(`${paths.account()}/password`, { config: anyone }, async (request, reply) => {
      const { me, person } = await own(request)
      const read = readForm(changePasswordForm, request.body)
      if (!read.ok) return accountPage(request, reply.code(422), faultsOf(read.problems))
      const known = await passwordConfirmed(db, person, read.data.present, { now: request.now, address: request.ip })
      const faults = known === 'right' ? await newPasswordFault(db, read.data.password, person) : [presentFault(known)]
      if (faults.length > 0) return accountPage(request, reply.code(422), faults)
      const passwordHash = await passwordHashOf(read.data.password)
      await db.transaction(tx => replacePassword(tx, act(request), me.id, { passwordHash, keepSession: me.sessionId }))
      request.log.info({ action: 'change-password', actor: me.id, outcome: 'ok' }, 'password changed')
      return reply.redirect(paths.account(), 303)
    })

    app.post(`${paths.account()}/end-session`, { config: anyone }, async (request, reply) => {
      const { me } = await own(request)
      const read = readForm(sessionForm, request.body)
      if (!read.ok || !(await endSession(db, me.id, read.data.sessionId, request.now))) throw notFound('session')
      return reply.redirect(paths.account(), 303)
    })

    async function own(request: FastifyRequest): Promise<{ me: Extract<Actor, { kind: 'staff' }>; person: Person }> {
      const { actor } = act(request)
      const person = actor.kind === 'staff' ? await staffById(db, actor.id) : null
      if (actor.kind !== 'staff' || !person) throw problem(403, 'not-your-role', 'Only people have an account.')
      return { me: actor, person }
    }

    async function accountPage(request: FastifyRequest, reply: FastifyReply, faults?: readonly FieldFault[]) {
      const { frame, zone } = await pageFacts(request)
      const { me, person } = await own(request)
      const sessions = await openSessions(db, me.id, request.now - absoluteLifetime)
      return page(
        reply,
        <Frame {...frame} title="Your account" faulty={Boolean(faults?.length)}>
          <AccountView {...{ person, sessions, zone, faults }} own={me.sessionId} csrf={frame.csrf} />
        </Frame>,
      )
    }
  }

export const presentFault = (known: 'wrong' | 'slowed', name = 'present'): FieldFault => ({
  name,
  message: known === 'wrong' ? 'is not your present password' : 'was wrong too often: wait a minute and try again',
})
