import type { FastifyRequest } from 'fastify'

const longest = 300_000

/** Spread into a route that may work for minutes on one request: its socket is not taken for a dead one meanwhile. */
export const longWork = {
  handlerTimeout: longest,
  onRequest: async (request: FastifyRequest) => {
    request.raw.socket.setTimeout(longest)
  },
}
