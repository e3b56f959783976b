import { type FastifyServerOptions, LogController } from 'fastify'
import type { Deps } from '../deps.ts'
import { requestIdOf } from './request-id.ts'
import { answerBadAddress, answerBrokenRequest } from './socket-errors.ts'

export const kibibyte = 1024
export const mebibyte = 1024 * kibibyte

/** The largest header of a request, its address included. */
const header = 16 * kibibyte

/** How long a request may take to arrive, seconds: its header, a body, a body with files. */
export const arrival = { header: 10, body: 15, upload: 120 }

/**
 * Slow and huge clients can not hold the server. Node looks at connections every 30 s unless told otherwise, and a
 * header limit above the request limit spoils the shorter one, so all of these belong together.
 */
export const serverOptions = ({ config, log }: Pick<Deps, 'config' | 'log'>): FastifyServerOptions => ({
  loggerInstance: log,
  logController: new LogController({ disableRequestLogging: true, requestIdLogLabel: 'requestId' }),
  genReqId: requestIdOf,
  requestIdHeader: false,
  trustProxy: config.trustedProxies.length > 0 ? [...config.trustedProxies] : false,
  // A body without files has less; see `body-deadline`.
  requestTimeout: arrival.upload * 1000,
  connectionTimeout: 20_000,
  keepAliveTimeout: 10_000,
  handlerTimeout: 30_000,
  maxRequestsPerSocket: 1000,
  bodyLimit: mebibyte,
  return503OnClosing: false,
  forceCloseConnections: 'idle',
  exposeHeadRoutes: true,
  onProtoPoisoning: 'error',
  onConstructorPoisoning: 'error',
  // A part of an address may be as long as the header; what is too long for a route is not found there, like any other.
  routerOptions: { maxParamLength: header },
  frameworkErrors: (_error, _request, reply) => answerBadAddress(reply.raw, config),
  clientErrorHandler: (error, socket) => answerBrokenRequest(error, socket, config),
  ...{
    http: { headersTimeout: arrival.header * 1000, connectionsCheckingInterval: 1000, maxHeaderSize: header },
  },
})
