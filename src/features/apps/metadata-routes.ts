import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { allScopes } from './scopes.ts'
import type { TokenIssuer } from './token/issue-token.ts'

const open = (why: string) => ({ open: why, noCsrf: 'Nothing is sent here.' })
const kept = 'public, max-age=300'
const methods = ['client_secret_basic', 'client_secret_post']
const anyObject = z.record(z.string(), z.unknown())

/** What a client finds the rest by: RFC 8414, RFC 9728, and the keys of RFC 7517. */
export const metadataRoutes =
  ({ keys, origin }: TokenIssuer): FastifyPluginAsyncZod =>
  async app => {
    const server = {
      issuer: origin,
      token_endpoint: `${origin}/oauth/token`,
      token_endpoint_auth_methods_supported: methods,
      revocation_endpoint: `${origin}/oauth/revoke`,
      revocation_endpoint_auth_methods_supported: methods,
      jwks_uri: `${origin}/.well-known/jwks.json`,
      scopes_supported: allScopes,
      grant_types_supported: ['client_credentials'],
      // Required by RFC 8414; there is no authorization endpoint, so there are none.
      response_types_supported: [],
      service_documentation: `${origin}/openapi.json`,
    }
    const resource = {
      resource: origin,
      authorization_servers: [origin],
      jwks_uri: server.jwks_uri,
      scopes_supported: allScopes,
      bearer_methods_supported: ['header'],
      resource_documentation: `${origin}/openapi.json`,
    }
    const publish = (path: string, operationId: string, summary: string, body: object) =>
      app.get(
        path,
        {
          config: open('Clients find the service by it; it holds nothing of anybody.'),
          schema: { operationId, summary, tags: ['access'], response: { 200: anyObject } },
        },
        async (_request, reply) =>
          reply
            .headers({ 'cache-control': kept, 'access-control-allow-origin': '*' })
            .send(body as Record<string, unknown>),
      )
    publish('/.well-known/oauth-authorization-server', 'authorizationServer', 'Authorization server metadata', server)
    publish('/.well-known/oauth-protected-resource', 'protectedResource', 'Protected resource metadata', resource)
    publish('/.well-known/jwks.json', 'signingKeys', 'Public keys of the access tokens', { keys: keys.jwks.keys })
  }
