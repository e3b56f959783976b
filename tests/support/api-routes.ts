import type { FastifyInstance } from 'fastify'
import type { RouteRow } from '../../src/platform/http/declared-access.ts'
import { routeTable } from '../../src/platform/http/server.ts'

export type ApiRoute = RouteRow & { readonly operationId: string }

/** Every operation under /v1, from the table that the server itself keeps of its routes. */
export const apiRoutes = (app: FastifyInstance): ApiRoute[] =>
  routeTable(app).filter(
    (route): route is ApiRoute =>
      route.access.scope !== undefined && route.method !== 'HEAD' && route.operationId !== null,
  )
