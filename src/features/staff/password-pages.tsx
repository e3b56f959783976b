import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { setSessionCookie } from '../../platform/auth/cookies.ts'
import type { Deps } from '../../platform/deps.ts'
import { page, readForm } from '../../platform/http/forms.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import type { FieldFault } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { faultsOf, strangers } from './access.ts'
import { forgottenPassword } from './forgotten-password.ts'
import { newPasswordFault } from './new-password-fault.ts'
import { passwordHashOf } from './password-hash.ts'
import { ForgottenSentView, ForgottenView, SetPasswordView, SpentLinkView } from './password-views.tsx'
import { forgottenForm, secretParams, setPasswordForm } from './schemas.ts'
import { setPassword } from './set-password.ts'
import { beginSession } from './sign-in.ts'
import { from } from './sign-in-pages.tsx'
import { type OpenToken, openStaffToken } from './staff-token.ts'

const slow = { ...strangers, rate: { name: 'password', max: 20, windowMs: 60_000 } }

/** A forgotten password, and setting one behind a mailed link. Opening the link changes nothing. */
export const passwordPages =
  ({ db, mail, config, jobs }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.forgotten(), { config: strangers }, async (request, reply) =>
      shown(request, reply, 'Set a new password', csrf => <ForgottenView csrf={csrf} mails={!mail.held} />),
    )

    app.post(paths.forgotten(), { config: slow }, async (request, reply) => {
      const read = readForm(forgottenForm, request.body)
      if (!read.ok)
        return shown(request, reply.code(422), 'Set a new password', csrf => (
          <ForgottenView
            csrf={csrf}
            mails={!mail.held}
            faults={faultsOf(read.problems)}
            email={String(read.typed.email ?? '')}
          />
        ))
      const { email } = read.data
      const { frame } = await pageFacts(request)
      if (!mail.held)
        await forgottenPassword(db, {
          email,
          config,
          jobs,
          now: request.now,
          requestId: request.id,
          company: frame.company,
        })
      return shown(request, reply, 'Look into your mail', () => <ForgottenSentView email={email} />)
    })

    app.get(
      '/set-password/:secret',
      { config: strangers, schema: { params: secretParams } },
      async (request, reply) => {
        const token = await openStaffToken(db, request.params.secret, request.now)
        return token ? form(request, reply, request.params.secret, token) : spent(request, reply)
      },
    )

    app.post('/set-password/:secret', { config: slow, schema: { params: secretParams } }, async (request, reply) => {
      const { secret } = request.params
      const token = await openStaffToken(db, secret, request.now)
      if (!token) return spent(request, reply)
      const read = readForm(setPasswordForm, request.body)
      const faults = read.ok ? await newPasswordFault(db, read.data.password, token) : faultsOf(read.problems)
      if (!read.ok || faults.length > 0) return form(request, reply.code(422), secret, token, faults)
      const passwordHash = await passwordHashOf(read.data.password)
      const { staffId } = await db.transaction(tx =>
        setPassword(tx, { now: request.now, requestId: request.id }, { secret, passwordHash }),
      )
      request.log.info({ action: 'set-password', actor: staffId, outcome: 'ok' }, 'password set through a link')
      setSessionCookie(request, reply, (await beginSession(db, staffId, from(request))).secret)
      return reply.redirect(paths.ledger(), 303)
    })
  }

const form = (request: FastifyRequest, reply: FastifyReply, secret: string, token: OpenToken, faults?: FieldFault[]) =>
  shown(request, reply, 'Set a password', csrf => (
    <SetPasswordView
      {...{ csrf, secret, faults }}
      name={token.name}
      email={token.email}
      first={token.purpose !== 'password'}
    />
  ))

const spent = (request: FastifyRequest, reply: FastifyReply) =>
  shown(request, reply.code(404), 'This link does not open any more', () => <SpentLinkView />)

async function shown(request: FastifyRequest, reply: FastifyReply, title: string, view: (csrf: string) => JSX.Element) {
  const { frame } = await pageFacts(request)
  return page(
    reply,
    <Frame {...frame} signedIn={null} title={title} faulty={reply.statusCode === 422}>
      {view(frame.csrf)}
    </Frame>,
  )
}
