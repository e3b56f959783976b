import type { FastifyInstance } from 'fastify'
import { Problem } from './problem.ts'

/** While the process ends, new requests are sent elsewhere; those under way are finished. */
export function refuseWhileClosing(app: FastifyInstance): void {
  let closing = false
  app.addHook('preClose', done => {
    closing = true
    done()
  })
  app.addHook('onRequest', (_request, reply, done) => {
    if (!closing) return done()
    reply.header('connection', 'close')
    throw new Problem(503, 'unavailable', 'This process is ending; ask again.', { headers: { 'retry-after': '1' } })
  })
}
