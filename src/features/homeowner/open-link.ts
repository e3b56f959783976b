import type { FastifyReply, FastifyRequest } from 'fastify'
import { csrfTokenFor } from '../../platform/auth/csrf.ts'
import { linkIdFrom } from '../../platform/auth/link-token.ts'
import { problem } from '../../platform/http/problem.ts'
import { paths } from '../../web/paths.ts'
import { liveLink, type OpenLink } from './queries.ts'

const cookieName = (secure: boolean) => (secure ? '__Secure-underslab-home' : 'underslab-home')
const noLink = '00000000-0000-0000-0000-000000000000'

/** The live link a token is of. A token that is none costs the same query as one that is. */
export async function linkOfToken(request: FastifyRequest, token: string): Promise<OpenLink | null> {
  const { config, db } = request.deps
  return liveLink(db, linkIdFrom(config.linkKeys, token) ?? noLink, request.now)
}

/** Gives the browser the token for the page of this one link, so that it stands in no address. */
export function keepToken(request: FastifyRequest, reply: FastifyReply, linkId: string, token: string): void {
  const { secure } = request.deps.config
  const path = paths.homeownerPage(linkId)
  reply.setCookie(cookieName(secure), token, { path, httpOnly: true, secure, sameSite: 'lax', maxAge: 12 * 3600 })
}

/** The link whose page is asked for, if the browser has its token. */
export async function openedLink(request: FastifyRequest, linkId: string): Promise<OpenLink | null> {
  const link = await linkOfToken(request, request.cookies[cookieName(request.deps.config.secure)] ?? '')
  return link?.linkId === linkId ? link : null
}

export const csrfOfLink = (request: FastifyRequest, linkId: string): string =>
  csrfTokenFor(request.deps.config.sessionSecret, `link ${linkId}`)

/** Lets the person of a link act on its page; staff who look at it may not, and nobody else gets in. */
export async function actAsHomeowner(request: FastifyRequest): Promise<void> {
  const { id } = request.params as { id: string }
  const link = await openedLink(request, id)
  if (!link) throw problem(403, 'link-closed', 'This page is no longer open. Open the link in your newest mail.')
  if (request.actor?.kind === 'staff')
    throw problem(403, 'preview-only', 'You look at this page as staff: only the homeowner can send its forms.')
  request.actor = { kind: 'homeowner', id: link.customerId, linkId: link.linkId, propertyId: link.propertyId }
  request.csrfToken = csrfOfLink(request, link.linkId)
}
