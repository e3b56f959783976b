import type { FastifyReply, FastifyRequest } from 'fastify'

/** `__Host-` behind TLS; on plain-http loopback, where browsers refuse that prefix, a name of its own. */
export const sessionCookieName = (secure: boolean): string => (secure ? '__Host-underslab' : 'underslab-local')
const visitorCookieName = (secure: boolean): string => (secure ? '__Host-underslab-visitor' : 'underslab-visitor')

const options = (secure: boolean) => ({ path: '/', httpOnly: true, secure, sameSite: 'lax' }) as const

export function setSessionCookie(request: FastifyRequest, reply: FastifyReply, secret: string): void {
  const { secure } = request.deps.config
  reply.setCookie(sessionCookieName(secure), secret, { ...options(secure), maxAge: 30 * 86_400 })
}

export function clearSessionCookie(request: FastifyRequest, reply: FastifyReply): void {
  const { secure } = request.deps.config
  reply.clearCookie(sessionCookieName(secure), options(secure))
}

export const sessionSecretOf = (request: FastifyRequest): string | null =>
  request.cookies[sessionCookieName(request.deps.config.secure)] ?? null

/** Forms before sign-in are bound to a cookie that says nothing about anybody. */
export const visitorOf = (request: FastifyRequest): string | null =>
  request.cookies[visitorCookieName(request.deps.config.secure)] ?? null

export function setVisitorCookie(request: FastifyRequest, reply: FastifyReply, value: string): void {
  const { secure } = request.deps.config
  reply.setCookie(visitorCookieName(secure), value, options(secure))
}
