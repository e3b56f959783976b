import { createHash } from 'node:crypto'
import type { FastifyReply, FastifyRequest } from 'fastify'
import { problem } from './problem.ts'

/** `"3"` or `W/"3"`, `*` or a list of them → the tags, bare. */
const tagsIn = (header: string): string[] =>
  header.split(',').map(tag =>
    tag
      .trim()
      .replace(/^W\//, '')
      .replace(/^"(.*)"$/, '$1'),
  )

/** The version a change is meant for: 428 without If-Match, 400 when it is no tag of ours. */
export function ifMatch(request: FastifyRequest): number {
  const header = request.headers['if-match']
  if (header === undefined)
    throw problem(428, 'if-match-needed', 'Send If-Match with the ETag you read, so that nobody is overwritten unseen.')
  const version = Number(tagsIn(header)[0]?.split('.')[0])
  if (!Number.isSafeInteger(version) || version < 1)
    throw problem(400, 'bad-if-match', 'If-Match holds no ETag of this resource. Send the one you read, like "3".')
  return version
}

/** The tag of a record that shows less to those who may not see all of it: what one caller kept is not the other's. */
export const tagOfShown = (etag: string | number, whole: boolean): string => (whole ? `${etag}` : `${etag}.part`)

/** Whether the caller has this very version already. */
function isKnown(request: FastifyRequest, tag: string): boolean {
  const known = request.headers['if-none-match']
  return known !== undefined && (known.trim() === '*' || tagsIn(known).includes(tag))
}

/** Answers with an ETag; 304 without a body when the caller has this very version. */
export function tagged(
  request: FastifyRequest,
  reply: FastifyReply,
  etag: string | number,
  body: unknown,
): FastifyReply {
  const tag = String(etag)
  reply.header('etag', `"${tag}"`)
  return isKnown(request, tag) ? reply.code(304).send() : reply.send(body)
}

/**
 * Answers 304 by the version alone, before the record is read, and tells whether it did: not when the caller names no
 * version, or not the one there is. Such an answer shows nothing of the record, so no look is written down for it.
 */
export async function answeredUnchanged(
  request: FastifyRequest,
  reply: FastifyReply,
  versionNow: () => Promise<number>,
): Promise<boolean> {
  if (request.headers['if-none-match'] === undefined) return false
  const tag = String(await versionNow())
  if (!isKnown(request, tag)) return false
  reply.header('etag', `"${tag}"`).code(304).send()
  return true
}

/** The same for what has no version: the ETag is made from the very text of the answer. */
export function taggedByContent(request: FastifyRequest, reply: FastifyReply, body: object): FastifyReply {
  const text = String(reply.serialize(body))
  const tag = createHash('sha256').update(text).digest('base64url').slice(0, 22)
  reply.header('etag', `"${tag}"`)
  if (isKnown(request, tag)) return reply.code(304).send()
  return reply.type('application/json; charset=utf-8').send(text)
}
