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

/** Answers with an ETag; 304 without a body when the caller has this very version. */
export function tagged(
  request: FastifyRequest,
  reply: FastifyReply,
  etag: string | number,
  body: unknown,
): FastifyReply {
  const tag = String(etag)
  reply.header('etag', `"${tag}"`)
  const known = request.headers['if-none-match']
  if (known && (known.trim() === '*' || tagsIn(known).includes(tag))) return reply.code(304).send()
  return reply.send(body)
}

/** The same for what has no version: the ETag is made from what it shows. */
export const taggedByContent = (request: FastifyRequest, reply: FastifyReply, body: object): FastifyReply =>
  tagged(request, reply, createHash('sha256').update(JSON.stringify(body)).digest('base64url').slice(0, 22), body)
