import cookie from '@fastify/cookie'
import { type FastifyInstance, fastify } from 'fastify'
import { serializerCompiler, type ZodTypeProvider } from 'fastify-type-provider-zod'
import { authenticate, type Lookups } from '../auth/authenticate.ts'
import type { Deps } from '../deps.ts'
import { answerProblems, type RenderErrorPage } from './answer-problem.ts'
import { limitBodies } from './body-deadline.ts'
import { refuseWhileClosing } from './closing.ts'
import { declareAccess, type RouteRow } from './declared-access.ts'
import { readForms } from './form-body.ts'
import { sendHeaders } from './headers.ts'
import { healthRoutes } from './health-routes.ts'
import { readJson } from './json-body.ts'
import { negotiate } from './media-types.ts'
import { type FeedLag, metricRoutes } from './metrics.ts'
import { documentApi } from './openapi.ts'
import type { FeatureProblems } from './problem-kinds.ts'
import { problemRoutes } from './problem-routes.ts'
import { refuseOddQueries } from './query-string.ts'
import { limitRates } from './rate-limits.ts'
import { logRequests } from './request-log.ts'
import { refusePlainHttp } from './secure-transport.ts'
import { securityTxt } from './security-txt.ts'
import { serverOptions } from './server-options.ts'
import { refuseUnstorable } from './storable.ts'
import { readUploads } from './upload-body.ts'
import { validateBySchema } from './validation.ts'

export type Outside = Lookups & {
  readonly renderErrorPage: RenderErrorPage
  readonly problems: FeatureProblems
  /** Name of the last migration this program knows; null leaves the level unchecked. */
  readonly migrationLevel: string | null
  readonly feedLag: FeedLag
}
export type Server = FastifyInstance
const tables = new WeakMap<FastifyInstance['server'], readonly RouteRow[]>()
/** Every route with who may come in, for the matrices that hold each against each role. */
export const routeTable = (app: FastifyInstance): readonly RouteRow[] => tables.get(app.server) ?? []

/** A server with everything that holds for all routes; hooks run in the order in which they stand here. */
export async function openServer(deps: Deps, outside: Outside): Promise<Server> {
  const app = fastify(serverOptions(deps)).withTypeProvider<ZodTypeProvider>() as unknown as FastifyInstance
  app.server.maxConnections = 2000
  app.setValidatorCompiler(validateBySchema)
  app.setSerializerCompiler(serializerCompiler)
  const routes = declareAccess(app)
  tables.set(app.server, routes)
  app.decorateRequest('deps', { getter: () => deps })
  app.decorateRequest('now', 0)
  app.addHook('onRequest', (request, _reply, done) => {
    request.now = deps.clock.now()
    done()
  })
  sendHeaders(app, deps.config)
  logRequests(app)
  refuseWhileClosing(app)
  limitBodies(app)
  refusePlainHttp(app)
  await app.register(cookie)
  readJson(app)
  readForms(app)
  await readUploads(app)
  authenticate(app, outside)
  await limitRates(app, deps)
  negotiate(app)
  refuseOddQueries(app)
  refuseUnstorable(app)
  answerProblems(app, routes, outside.renderErrorPage)
  await documentApi(app, deps.config)
  healthRoutes(app, deps, outside.migrationLevel)
  metricRoutes(app, deps, outside.feedLag)
  problemRoutes(app, outside.problems)
  securityTxt(app, deps)
  return app
}
