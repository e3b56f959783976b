import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { Actor } from '../auth/actor.ts'
import { methodsAt } from './allowed-methods.ts'
import type { RouteRow } from './declared-access.ts'
import { Problem } from './problem.ts'
import { problemBody, wantsPage } from './problem-body.ts'
import { titleOf } from './problem-kinds.ts'
import { problemOf } from './problem-of.ts'

/** What an error page says; nothing of the fault's inside. */
export type ErrorPage = {
  readonly status: number
  readonly title: string
  readonly detail: string
  readonly requestId: string
  readonly actor: Actor | null
}
export type RenderErrorPage = (page: ErrorPage) => string | Promise<string>

const internal = new Problem(500, 'internal', 'Something went wrong on our side. Nothing was saved.')

/** Every error of every route ends here: a page for people, a problem document (RFC 9457) for programs. */
export function answerProblems(app: FastifyInstance, routes: readonly RouteRow[], render: RenderErrorPage): void {
  app.setErrorHandler(async (error, request, reply) => {
    const known = problemOf(error)
    if (!known || known.status >= 500)
      request.log.error({ err: error, route: request.routeOptions.url }, 'request failed')
    return answer(known ?? internal, request, reply, render)
  })
  app.setNotFoundHandler(async (request, reply) => {
    const methods = methodsAt(routes, request.url)
    if (methods.length === 0)
      return answer(new Problem(404, 'not-found', 'There is nothing at this address.'), request, reply, render)
    reply.header('allow', methods.join(', '))
    if (request.method === 'OPTIONS') return reply.code(204).send()
    const detail = `${request.method} is not possible here; ${methods.join(', ')} are.`
    return answer(new Problem(405, 'method-not-allowed', detail), request, reply, render)
  })
}

async function answer(problem: Problem, request: FastifyRequest, reply: FastifyReply, render: RenderErrorPage) {
  const { publicUrl } = request.deps.config
  reply.code(problem.status).headers(problem.headers)
  if (!wantsPage(request))
    return reply
      .type('application/problem+json; charset=utf-8')
      .serializer((body: unknown) => JSON.stringify(body))
      .send(problemBody(problem, publicUrl, request.id))
  const html = await render({
    status: problem.status,
    title: titleOf(problem.code, problem.status),
    detail: problem.message,
    requestId: request.id,
    actor: request.actor,
  })
  return reply
    .type('text/html; charset=utf-8')
    .serializer((body: unknown) => String(body))
    .send(html)
}
