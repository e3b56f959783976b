import type { FastifyInstance } from 'fastify'
import { problem } from './problem.ts'

/** Reads JSON: UTF-8 or refused, no `__proto__`. */
export function readJson(app: FastifyInstance): void {
  const parse = app.getDefaultJsonParser('error', 'error')
  app.removeContentTypeParser(['application/json', 'text/plain'])
  app.addContentTypeParser(
    ['application/json', 'application/merge-patch+json'],
    { parseAs: 'buffer' },
    (request, body: Buffer, done) => {
      try {
        parse(request, new TextDecoder('utf-8', { fatal: true }).decode(body), done)
      } catch {
        done(problem(400, 'malformed-body', 'The body is not encoded in UTF-8.'))
      }
    },
  )
}
