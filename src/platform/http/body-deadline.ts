import type { FastifyInstance, FastifyRequest } from 'fastify'
import { Problem } from './problem.ts'
import { arrival } from './server-options.ts'

const timers = new WeakMap<FastifyRequest, NodeJS.Timeout>()

/** Ends a request whose body trickles: Node's own limit must leave time for files, a form or JSON needs less. */
export function limitBodies(app: FastifyInstance): void {
  app.addHook('onRequest', (request, reply, done) => {
    if (request.headers['content-length'] || request.headers['transfer-encoding']) {
      const seconds = request.routeOptions.config.upload ? arrival.upload : arrival.body
      const timer = setTimeout(() => {
        if (reply.sent || request.raw.complete) return
        reply.header('connection', 'close')
        reply.send(new Problem(408, 'request-timeout', `The body did not arrive within ${seconds} s.`))
        reply.raw.once('finish', () => request.raw.destroy())
      }, seconds * 1000)
      timer.unref()
      timers.set(request, timer)
    }
    done()
  })
  app.addHook('preValidation', (request, _reply, done) => {
    clearTimeout(timers.get(request))
    done()
  })
  app.addHook('onResponse', (request, _reply, done) => {
    clearTimeout(timers.get(request))
    done()
  })
}
