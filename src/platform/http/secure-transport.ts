import type { FastifyInstance } from 'fastify'
import { problem } from './problem.ts'

const loopback = /^(127\.|::1$|::ffff:127\.)/

/** A token that travels over plain http is leaked; a redirect would hide it. Only loopback is no network. */
export function refusePlainHttp(app: FastifyInstance): void {
  app.addHook('onRequest', (request, _reply, done) => {
    if (!request.deps.config.secure || request.protocol === 'https' || loopback.test(request.ip)) return done()
    const { scope } = request.routeOptions.config
    if (scope !== undefined || request.url.startsWith('/oauth/'))
      throw problem(403, 'insecure-transport', 'Use https. Take the token or secret used here for leaked: replace it.')
    done()
  })
}
