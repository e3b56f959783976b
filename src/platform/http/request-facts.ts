import type { FastifyRequest } from 'fastify'
import type { Actor } from '../auth/actor.ts'
import type { Act } from '../db/record-write.ts'
import type { Deps } from '../deps.ts'
import { problem } from './problem.ts'

declare module 'fastify' {
  interface FastifyRequest {
    actor: Actor | null
    /** The instant this request is judged by. */
    now: number
    deps: Deps
    /** For the hidden field of this request's forms. */
    csrfToken: string
    /** When a staff member last entered their password. */
    confirmedAt: number | null
  }
}

/** Who acts in this request, when, and under which id. */
export function act(request: FastifyRequest): Act {
  if (!request.actor) throw problem(401, 'unauthenticated', 'Sign in first.')
  return { actor: request.actor, now: request.now, requestId: request.id }
}
