import type { FastifyInstance } from 'fastify'
import { type Fault, problem } from './problem.ts'

const deepest = 64

/** Refuses text that can not be stored (U+0000, half a surrogate pair) and nesting without end, before anything reads it. */
export function refuseUnstorable(app: FastifyInstance): void {
  app.addHook('preValidation', (request, _reply, done) => {
    const inQuery = unstorable({ ...(request.query as object), ...(request.params as object) })
    if (inQuery.length > 0)
      throw problem(400, 'malformed-request', 'The address holds what can not be stored.', inQuery)
    const inBody = unstorable(request.body)
    if (inBody.length > 0) throw problem(422, 'invalid', 'The body holds what can not be stored.', inBody)
    done()
  })
}

function unstorable(value: unknown, pointer = '', depth = 0, faults: Fault[] = []): Fault[] {
  if (faults.length >= 20) return faults
  if (typeof value === 'string') {
    if (value.includes('\u0000') || !value.isWellFormed()) faults.push({ pointer, ...badText })
  } else if (typeof value === 'object' && value !== null && !ArrayBuffer.isView(value)) {
    if (depth > deepest) faults.push({ pointer: pointer.slice(0, 200), code: 'too-deep', detail: tooDeep })
    else
      for (const [name, inner] of Object.entries(value)) {
        if (name.includes('\u0000') || !name.isWellFormed()) faults.push({ pointer, ...badText })
        unstorable(inner, `${pointer}/${pointed(name)}`, depth + 1, faults)
      }
  }
  return faults
}

const badText = { code: 'unstorable', detail: 'holds U+0000 or half of a surrogate pair: remove it' }
const tooDeep = `is nested more than ${deepest} deep`

/** A name as a step of a JSON pointer (RFC 6901). */
export const pointed = (name: string): string => name.replaceAll('~', '~0').replaceAll('/', '~1')
