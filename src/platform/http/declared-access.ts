import type { FastifyInstance } from 'fastify'
import type { Role } from '../auth/actor.ts'

/** Who may call a route: exactly one of the three is declared, or the app does not start. */
export type Access =
  | { readonly scope: string; readonly page?: never; readonly open?: never }
  | { readonly page: readonly Role[]; readonly scope?: never; readonly open?: never }
  | { readonly open: string; readonly scope?: never; readonly page?: never }

export type RateBucket = { readonly name: string; readonly max: number; readonly windowMs: number }

declare module 'fastify' {
  interface FastifyContextConfig {
    scope?: string
    page?: readonly Role[]
    /** The password must have been entered within the last quarter of an hour: people, rules, apps. */
    confirmed?: true
    /** Why nobody need be known here. */
    open?: string
    /** Body limit of an upload route says itself; a longer request time goes with it. */
    upload?: boolean
    /** A tighter bucket than the general one. */
    rate?: RateBucket
    /** An unsafe route that is not posted by one of our forms (OAuth, one-click unsubscribe). */
    noCsrf?: string
  }
}

export type RouteRow = {
  readonly method: string
  readonly url: string
  readonly access: Access
  readonly operationId: string | null
}

/** Collects every route with what it declares; throws at once for one that declares nothing, or two things. */
export function declareAccess(app: FastifyInstance): RouteRow[] {
  const table: RouteRow[] = []
  app.addHook('onRoute', route => {
    const { scope, page, open } = route.config ?? {}
    const declared = [scope, page, open].filter(value => value !== undefined).length
    if (declared !== 1)
      throw new Error(`${route.method} ${route.url} declares ${declared} of scope, page and open; it must be one`)
    if (route.url.startsWith('/v1') && scope === undefined)
      throw new Error(`${route.method} ${route.url} is an API route without a scope`)
    const methods = Array.isArray(route.method) ? route.method : [route.method]
    const operationId = (route.schema as { operationId?: string } | undefined)?.operationId ?? null
    for (const method of methods)
      table.push({ method, url: route.url, access: { scope, page, open } as Access, operationId })
  })
  return table
}
