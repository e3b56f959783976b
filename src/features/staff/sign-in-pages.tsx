import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { clearSessionCookie, setSessionCookie } from '../../platform/auth/cookies.ts'
import { csrfTokenFor } from '../../platform/auth/csrf.ts'
import type { Deps } from '../../platform/deps.ts'
import { page, readForm } from '../../platform/http/forms.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { anyone, faultsOf, strangers } from './access.ts'
import { keepForm, keptFormOf } from './kept-form.ts'
import { safeNext } from './safe-next.ts'
import { nextQuery, signInForm } from './schemas.ts'
import { endSession } from './session-queries.ts'
import { type NewSession, type SignInAnswer, signIn } from './sign-in.ts'
import { KeptFormView, SignInView, type SignInViewProps } from './sign-in-view.tsx'

/** Signing in and out. */
export const signInPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.signIn(), { config: strangers, schema: { querystring: nextQuery } }, async (request, reply) => {
      const next = safeNext(request.query.next)
      return request.actor ? reply.redirect(next, 303) : signInPage(request, reply, { next })
    })

    app.post(
      paths.signIn(),
      { config: { ...strangers, rate: { name: 'sign-in', max: 120, windowMs: 60_000 } } },
      async (request, reply) => {
        const read = readForm(signInForm, request.body)
        const { next, kept, email } = { next: '', kept: '', email: '', ...(request.body as Partial<SignInViewProps>) }
        const shown = { next: safeNext(next), kept: kept || undefined, email }
        if (!read.ok) return signInPage(request, reply.code(422), { ...shown, faults: faultsOf(read.problems) })
        const answer = await signIn(db, { ...read.data, ...from(request) })
        noteSignIn(request, answer)
        if (answer.ok) return welcome(request, reply, answer.session, read.data)
        return signInPage(request, refused(reply, answer), {
          ...shown,
          faults: [{ name: '', message: wordsFor(answer) }],
        })
      },
    )

    app.post(paths.signOut(), { config: anyone }, async (request, reply) => {
      const { actor } = request
      if (actor?.kind === 'staff') await endSession(db, actor.id, actor.sessionId, request.now)
      request.log.info({ action: 'sign-out', actor: actor?.id, outcome: 'ok' }, 'signed out')
      clearSessionCookie(request, reply)
      return reply.header('clear-site-data', '"cache", "cookies", "storage"').redirect(paths.signIn(), 303)
    })
  }

/** Answers a page asked for without a session: the sign-in page, which goes on from there and keeps a form that was sent. */
export function signInFirst(request: FastifyRequest, reply: FastifyReply): FastifyReply | Promise<FastifyReply> {
  if (request.method === 'GET' || request.method === 'HEAD')
    return reply.redirect(paths.signIn(safeNext(request.url)), 303)
  const site = request.headers['sec-fetch-site'] ?? 'same-origin'
  const kept = site === 'same-origin' ? keepForm(request.url, request.body) : null
  if (!kept) return reply.redirect(paths.signIn(), 303)
  return signInPage(request, reply.code(401), { next: '/', kept })
}

export const from = (request: FastifyRequest) => ({
  now: request.now,
  address: request.ip,
  userAgent: request.headers['user-agent'] ?? '',
})

async function signInPage(request: FastifyRequest, reply: FastifyReply, shown: Omit<SignInViewProps, 'csrf'>) {
  const { frame } = await pageFacts(request)
  return page(
    reply,
    <Frame {...frame} signedIn={null} title="Sign in" faulty={Boolean(shown.faults?.length)}>
      <SignInView csrf={frame.csrf} {...shown} />
    </Frame>,
  )
}

/** On to where one was; or first what was typed when the session had ended. */
async function welcome(
  request: FastifyRequest,
  reply: FastifyReply,
  session: NewSession,
  said: { next: string; kept: string },
) {
  setSessionCookie(request, reply, session.secret)
  const kept = keptFormOf(said.kept)
  if (!kept) return reply.redirect(safeNext(said.next), 303)
  const { frame } = await pageFacts(request)
  return page(
    reply,
    <Frame {...frame} signedIn={null} title="Send what you typed">
      <KeptFormView csrf={csrfTokenFor(request.deps.config.sessionSecret, session.id)} form={kept} />
    </Frame>,
  )
}

const refused = (reply: FastifyReply, answer: SignInAnswer): FastifyReply =>
  !answer.ok && answer.because === 'slowed'
    ? reply.code(429).header('retry-after', String(Math.ceil(answer.waitMs / 1000)))
    : reply.code(422)

const wordsFor = (answer: Exclude<SignInAnswer, { ok: true }>): string =>
  answer.because === 'slowed'
    ? `Too many wrong tries. Wait ${Math.ceil(answer.waitMs / 1000)} s and try again; the right password will then do.`
    : 'The mail address or the password is not right.'

const noteSignIn = (request: FastifyRequest, answer: SignInAnswer): void => {
  const outcome = answer.ok ? 'ok' : answer.because
  const line = { action: 'sign-in', outcome, actor: answer.ok ? answer.staffId : null, ip: request.ip }
  request.log[answer.ok ? 'info' : 'warn'](line, answer.ok ? 'signed in' : 'sign-in refused')
}
