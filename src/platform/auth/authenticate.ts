import { randomBytes } from 'node:crypto'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { Problem, problem } from '../http/problem.ts'
import { type Actor, hasRole } from './actor.ts'
import { sessionSecretOf, setVisitorCookie, visitorOf } from './cookies.ts'
import { csrfTokenFor, refuseForgery } from './csrf.ts'

type Staff = Extract<Actor, { kind: 'staff' }>
type App = Extract<Actor, { kind: 'app' }>

/** For how long an entered password opens what asks for it again, ms. */
export const confirmedFor = 15 * 60_000

/** How sessions and apps are looked up: given by app.ts, because their tables belong to features. */
export type Lookups = {
  findSession(secret: string, now: number): Promise<{ actor: Staff; confirmedAt: number } | null>
  /** The app an access token speaks for; null for any token that is not good now. */
  findApp(token: string, now: number): Promise<App | null>
  /** Answers whoever asks for a page without a session; of a form, what was typed has been read by then. */
  signInFirst(request: FastifyRequest, reply: FastifyReply): FastifyReply | Promise<FastifyReply>
  /** Answers whoever entered their password too long ago for what they are about to do. */
  confirmFirst(request: FastifyRequest, reply: FastifyReply): FastifyReply | Promise<FastifyReply>
}

/** Settles who asks before any handler runs, by what the route declares. */
export function authenticate(app: FastifyInstance, lookups: Lookups): void {
  app.decorateRequest('actor', null)
  app.decorateRequest('confirmedAt', null)
  app.decorateRequest('csrfToken', '')
  app.addHook('onRequest', async (request, reply) => {
    const { scope, page } = request.routeOptions.config
    if (scope !== undefined) return authenticateApp(request, lookups, scope)
    await authenticateStaff(request, reply, lookups)
    if (page !== undefined && request.actor && !hasRole(request.actor, ...page))
      throw problem(403, 'not-your-role', 'Your role does not open this page. Ask the owner of your company.')
  })
  app.addHook('preValidation', async (request, reply) => {
    const { page, confirmed } = request.routeOptions.config
    if (page === undefined) return
    if (!request.actor) return lookups.signInFirst(request, reply)
    if (confirmed && request.now >= (request.confirmedAt ?? 0) + confirmedFor)
      return lookups.confirmFirst(request, reply)
  })
  app.addHook('preHandler', (request, _reply, done) => {
    const { scope, noCsrf } = request.routeOptions.config
    if (request.is404 || scope !== undefined || noCsrf !== undefined || isSafe(request.method)) return done()
    refuseForgery(request, request.csrfToken)
    done()
  })
}

async function authenticateApp(request: FastifyRequest, { findApp }: Lookups, scope: string): Promise<void> {
  const [, token] = /^Bearer ([\w.~+/-]+=*)$/i.exec(request.headers.authorization ?? '') ?? []
  const app = token ? await findApp(token, request.now) : null
  if (!app) throw challenge(request, 401, token ? 'invalid_token' : null)
  if (!app.scopes.includes(scope)) throw challenge(request, 403, 'insufficient_scope', scope)
  request.actor = app
}

/** RFC 6750 §3: the challenge names the fault, the scope, and where a client finds all else (RFC 9728). */
function challenge(request: FastifyRequest, status: 401 | 403, error: string | null, scope?: string): Problem {
  const parts = [
    `resource_metadata="${request.deps.config.publicUrl}/.well-known/oauth-protected-resource"`,
    ...(error ? [`error="${error}"`] : []),
    ...(scope ? [`scope="${scope}"`] : []),
  ]
  const detail = {
    none: 'Send an access token: Authorization: Bearer … (POST /oauth/token gives one).',
    invalid_token:
      'The access token is not good: expired, withdrawn or not ours. Fetch a new one at POST /oauth/token.',
    insufficient_scope: `The access token lacks the scope ${scope}. Ask the company's owner for it.`,
  }[error ?? 'none']!
  return new Problem(status, error ? error.replace('_', '-') : 'token-needed', detail, {
    headers: { 'www-authenticate': `Bearer ${parts.join(', ')}` },
  })
}

async function authenticateStaff(
  request: FastifyRequest,
  reply: FastifyReply,
  { findSession }: Lookups,
): Promise<void> {
  const { sessionSecret } = request.deps.config
  const secret = sessionSecretOf(request)
  const session = secret ? await findSession(secret, request.now) : null
  if (session) {
    request.actor = session.actor
    request.confirmedAt = session.confirmedAt
    request.csrfToken = csrfTokenFor(sessionSecret, session.actor.sessionId)
    return
  }
  const visitor = visitorOf(request) ?? randomBytes(18).toString('base64url')
  if (!visitorOf(request) && !request.routeOptions.config.noCsrf && wantsForms(request))
    setVisitorCookie(request, reply, visitor)
  request.csrfToken = csrfTokenFor(sessionSecret, visitor)
}

const isSafe = (method: string) => ['GET', 'HEAD', 'OPTIONS'].includes(method)

const wantsForms = (request: FastifyRequest) =>
  request.routeOptions.config.page !== undefined ||
  (request.method === 'GET' && (request.headers.accept ?? '').includes('text/html'))
