import type { FastifyRequest } from 'fastify'
import type { Problem } from './problem.ts'
import { titleOf } from './problem-kinds.ts'

/** A problem as RFC 9457 writes it. Pointers are fragments (`#/rooms/2/value`), as in the RFC's own example. */
export const problemBody = (problem: Problem, publicUrl: string, requestId: string) => ({
  type: `${publicUrl}/problems/${problem.code}`,
  title: titleOf(problem.code, problem.status),
  status: problem.status,
  detail: problem.message,
  requestId,
  ...(problem.errors.length > 0 && {
    errors: problem.errors.map(error => ({
      ...error,
      pointer: error.pointer.startsWith('#') ? error.pointer : `#${error.pointer}`,
    })),
  }),
  ...problem.extra,
})

/** Pages are answered with pages; the API and programs with problem documents. */
export function wantsPage(request: FastifyRequest): boolean {
  if (request.url.startsWith('/v1/') || request.routeOptions.config.scope) return false
  return request.routeOptions.config.page !== undefined || (request.headers.accept ?? '').includes('text/html')
}
