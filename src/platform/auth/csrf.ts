import { createHmac, timingSafeEqual } from 'node:crypto'
import type { FastifyRequest } from 'fastify'
import { problem } from '../http/problem.ts'

/** The token of a session's forms: bound to it, so that another session's is worth nothing. */
export const csrfTokenFor = (sessionSecret: string, session: string): string =>
  createHmac('sha256', sessionSecret).update(`csrf ${session}`).digest('base64url')

/** Refuses (403) an unsafe request that did not come from a form of ours in this very session. */
export function refuseForgery(request: FastifyRequest, expected: string): void {
  const site = request.headers['sec-fetch-site']
  const origin = request.headers.origin
  // A page under `no-referrer` sends its own forms with `Origin: null`; only the browser's word tells them from others.
  const own = origin === 'null' ? site === 'same-origin' : isOurs(request, origin)
  const foreign = (site !== undefined && site !== 'same-origin' && site !== 'none') || !own
  const given = tokenIn(request)
  const fits = given.length === expected.length && timingSafeEqual(Buffer.from(given), Buffer.from(expected))
  if (foreign || !fits)
    throw problem(
      403,
      'form-expired',
      'This form was not sent from this session. Open the page again and repeat; nothing was saved.',
    )
}

// On plain-http loopback people use 127.0.0.1 and localhost alike; behind TLS only the public address counts.
const isOurs = ({ deps: { config }, headers }: FastifyRequest, origin: string | undefined): boolean =>
  origin === undefined || origin === config.publicUrl || (!config.secure && origin === `http://${headers.host ?? ''}`)

function tokenIn(request: FastifyRequest): string {
  const field = (request.body as { _csrf?: unknown } | null | undefined)?._csrf
  const header = request.headers['csrf-token']
  return typeof field === 'string' ? field : typeof header === 'string' ? header : ''
}
