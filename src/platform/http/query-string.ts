import type { FastifyInstance } from 'fastify'
import { problem } from './problem.ts'

const reserved = new Set(['__proto__', 'constructor', 'prototype'])

/** Each parameter once; where a route documents no query, an API call has none. */
export function refuseOddQueries(app: FastifyInstance): void {
  app.addHook('preValidation', (request, _reply, done) => {
    const query = request.query as Record<string, unknown>
    const faults = []
    for (const [name, value] of Object.entries(query)) {
      if (reserved.has(name)) faults.push({ pointer: `/${name}`, code: 'reserved', detail: 'can not be a parameter' })
      else if (Array.isArray(value))
        faults.push({ pointer: `/${name}`, code: 'repeated', detail: 'comes more than once' })
      else if (request.routeOptions.config.scope && !request.routeOptions.schema?.querystring)
        faults.push({ pointer: `/${name}`, code: 'unknown', detail: 'is no parameter of this operation' })
    }
    if (faults.length > 0) throw problem(400, 'unknown-parameter', 'The query can not be understood.', faults)
    done()
  })
}
