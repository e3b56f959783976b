import type { FastifySchemaCompiler } from 'fastify'
import type { z } from 'zod'
import { readBy } from './faults-of.ts'
import { type Fault, type Problem, problem } from './problem.ts'

/**
 * Reads each part of a request by its schema, and answers by what does not fit: an address with an identifier that can
 * be none is 404, a query or header 400, a body 422; so is a `limit` that is too big.
 */
export const validateBySchema: FastifySchemaCompiler<z.ZodType> =
  ({ schema, httpPart }) =>
  data => {
    const read = readBy(schema, data)
    return read.ok ? { value: read.data } : { error: refusalOf(httpPart ?? 'body', read.faults) }
  }

function refusalOf(part: string, faults: readonly Fault[]): Problem {
  if (part === 'params') return problem(404, 'not-found', 'There is nothing at this address.')
  if (part === 'headers') return problem(400, 'malformed-header', 'A header can not be understood.', faults)
  if (part === 'querystring' && !faults.every(fault => fault.pointer === '/limit' && fault.code === 'too-big'))
    return problem(400, 'unknown-parameter', 'The query can not be understood.', faults)
  return problem(422, 'invalid', 'The request can be read, but does not fit; nothing was saved.', faults)
}
