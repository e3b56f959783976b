import type { FastifyInstance } from 'fastify'
import { problem } from './problem.ts'
import { hasRepeatedName } from './repeated-names.ts'

/** Reads JSON: UTF-8 or refused, no `__proto__`, no name twice in an object. */
export function readJson(app: FastifyInstance): void {
  const parse = app.getDefaultJsonParser('error', 'error')
  app.removeContentTypeParser(['application/json', 'text/plain'])
  app.addContentTypeParser(
    ['application/json', 'application/merge-patch+json'],
    { parseAs: 'buffer' },
    (request, body: Buffer, done) => {
      const text = utf8(body)
      if (text === null) return done(problem(400, 'malformed-body', 'The body is not encoded in UTF-8.'))
      parse(request, text, (error, value) =>
        error || !hasRepeatedName(text, value)
          ? done(error, value)
          : done(problem(400, 'malformed-body', 'An object of the body names a field twice.')),
      )
    },
  )
}

const utf8 = (body: Buffer): string | null => {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(body)
  } catch {
    return null
  }
}
