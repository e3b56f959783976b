import type { FastifyInstance } from 'fastify'
import { problem } from './problem.ts'

declare module 'fastify' {
  interface FastifyContextConfig {
    /** Media types an API route answers with, when it is not JSON. */
    produces?: readonly string[]
  }
}

const json = ['application/json', 'application/problem+json']

/** The API takes JSON (files where a route says so) and answers JSON (other types where a route says so), or 415, 406. */
export function negotiate(app: FastifyInstance): void {
  app.addHook('onRequest', (request, reply, done) => {
    const { scope, upload, produces } = request.routeOptions.config
    if (!['', 'identity'].includes(mediaType(request.headers['content-encoding'])))
      throw problem(415, 'unsupported-media-type', 'A compressed body is not taken: send it as it is.')
    if (scope === undefined) return done()
    const type = mediaType(request.headers['content-type'])
    const patch = request.method === 'PATCH' && type === 'application/merge-patch+json'
    const taken = type === '' || type === 'application/json' || patch || (upload && type === 'multipart/form-data')
    if (!taken) throw problem(415, 'unsupported-media-type', `${type} is not taken here: send application/json.`)
    reply.header('vary', 'accept, authorization')
    const offered = produces ?? json
    if (!offered.some(name => accepts(request.headers.accept, name)))
      throw problem(406, 'not-acceptable', `This answers with ${offered[0]} only.`)
    done()
  })
}

const mediaType = (header: string | undefined) => (header ?? '').split(';')[0]!.trim().toLowerCase()

/** Whether an Accept header (RFC 9110, 12.5.1) lets a type through; the most specific range that matches decides. */
export function accepts(accept: string | undefined, type: string): boolean {
  if (!accept?.trim()) return true
  const ranges = accept.split(',').map(part => {
    const [range = '', ...parameters] = part.split(';').map(piece => piece.trim().toLowerCase())
    const q = parameters.find(parameter => parameter.startsWith('q='))
    return { range, refused: q !== undefined && Number(q.slice(2)) === 0 }
  })
  const [main] = type.split('/')
  for (const range of [type, `${main}/*`, '*/*']) {
    const found = ranges.find(entry => entry.range === range)
    if (found) return !found.refused
  }
  return false
}
