import { createHmac, timingSafeEqual } from 'node:crypto'
import type { FastifyReply, FastifyRequest } from 'fastify'
import { taggedByContent } from './etag.ts'
import { problem } from './problem.ts'

export type CursorKey = readonly (string | number | null)[]

/** Sort key of the last row seen, from the `cursor` parameter; null on the first page, 400 for one that is not ours. */
export function readCursor(request: FastifyRequest): CursorKey | null {
  const text = (request.query as { cursor?: string }).cursor
  if (text === undefined) return null
  const [payload = '', signature = ''] = text.split('.')
  const expected = sign(request, payload)
  const given = Buffer.from(signature, 'base64url')
  if (given.length === expected.length && timingSafeEqual(given, expected))
    return JSON.parse(Buffer.from(payload, 'base64url').toString('utf8')) as CursorKey
  throw problem(400, 'bad-cursor', 'This cursor is none of this list, or the filters changed. Start without a cursor.')
}

// A cursor carries no rights; it is signed so that junk is told from a cursor, and bound to the filters it was made for.
const sign = (request: FastifyRequest, payload: string): Buffer =>
  createHmac('sha256', request.deps.config.sessionSecret)
    .update(`cursor ${filtersOf(request)} ${payload}`)
    .digest()
    .subarray(0, 12)

function filtersOf(request: FastifyRequest): string {
  const { cursor: _, limit: __, ...filters } = request.query as Record<string, unknown>
  return `${request.routeOptions.url} ${JSON.stringify(Object.entries(filters).sort())}`
}

/**
 * One page: `{ items, next }`, and what is told beside them; Link headers (RFC 8288) with absolute addresses, and an
 * ETag over what it shows.
 */
export function listed<Row>(
  request: FastifyRequest,
  reply: FastifyReply,
  page: {
    rows: readonly Row[]
    limit: number
    cursor: (row: Row) => CursorKey
    present: (row: Row) => unknown
    beside?: object
  },
): FastifyReply {
  const shown = page.rows.slice(0, page.limit)
  const last = page.rows.length > page.limit ? shown.at(-1) : undefined
  const next = last === undefined ? null : cursorFor(request, page.cursor(last))
  const links = [`<${address(request, null)}>; rel="first"`]
  if (next) links.push(`<${address(request, next)}>; rel="next"`)
  reply.header('link', links.join(', '))
  return taggedByContent(request, reply, { items: shown.map(page.present), next, ...page.beside })
}

function cursorFor(request: FastifyRequest, key: CursorKey): string {
  const payload = Buffer.from(JSON.stringify(key)).toString('base64url')
  return `${payload}.${sign(request, payload).toString('base64url')}`
}

function address(request: FastifyRequest, cursor: string | null): string {
  const url = new URL(request.url, request.deps.config.publicUrl)
  url.searchParams.delete('cursor')
  if (cursor) url.searchParams.set('cursor', cursor)
  return `${request.deps.config.publicUrl}${url.pathname}${url.search}`
}
