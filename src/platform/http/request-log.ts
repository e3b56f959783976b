import type { FastifyInstance } from 'fastify'

/** One line an answer: who, which operation by its template (an address may hold a token), outcome, milliseconds. */
export function logRequests(app: FastifyInstance): void {
  app.addHook('onResponse', (request, reply, done) => {
    const { actor } = request
    const line = {
      method: request.method,
      route: request.routeOptions.url ?? 'none',
      status: reply.statusCode,
      ms: Math.round(reply.elapsedTime * 10) / 10,
      actor: actor?.kind ?? null,
      actorId: actor?.id ?? null,
      ip: request.ip,
    }
    if (reply.statusCode === 401 || reply.statusCode === 403) request.log.warn(line, 'refused')
    else request.log.info(line, 'answered')
    done()
  })
}
