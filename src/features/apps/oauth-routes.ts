import type { FastifyReply, FastifyRequest, FastifySchema } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Deps } from '../../platform/deps.ts'
import { oauthErrorOut, revocationIn, tokenIn, tokenOut } from './schemas.ts'
import { type AuthenticatedClient, authenticateClient } from './token/authenticate-client.ts'
import { checkClientAdmitted, checkGrantType } from './token/check-grant-type.ts'
import { checkParameters, type Parameters } from './token/check-parameters.ts'
import { checkScope } from './token/check-scope.ts'
import { issueToken, type TokenIssuer, tokenLifetime } from './token/issue-token.ts'
import { OAuthError } from './token/oauth-error.ts'
import { readClientCredentials } from './token/read-client-credentials.ts'
import { revokeToken } from './token/revoke-token.ts'

const tags = ['access']
const clientOnly = {
  open: 'The client authenticates itself with its secret.',
  noCsrf: 'Programs post here, not forms of ours.',
  rate: { name: 'token', max: 60, windowMs: 60_000 },
}
// The body is described for whoever makes a client. It is read below, because RFC 6749 has a code for each of its faults.
const readHere = () => (value: unknown) => ({ value })
// Beside HTTP Basic a client may say who it is in the body, where the document knows of no scheme.
const bySecret: FastifySchema['security'] = [{ client: [] }, {}]
const errors = { 400: oauthErrorOut, 401: oauthErrorOut }

/** Token endpoint (RFC 6749, section 4.4) and revocation (RFC 7009). */
export const oauthRoutes =
  ({ db }: Deps, issuer: TokenIssuer): FastifyPluginAsyncZod =>
  async app => {
    app.setErrorHandler(answerOAuthError)
    app.addHook('onRequest', async (_request, reply) => {
      reply.headers({ 'cache-control': 'no-store', pragma: 'no-cache' })
    })

    app.post(
      '/oauth/token',
      {
        config: clientOnly,
        validatorCompiler: readHere,
        schema: {
          operationId: 'issueToken',
          summary: 'Exchange a client’s secret for an access token of 15 minutes',
          description: 'The client authenticates by HTTP Basic, or with its id and secret in the body.',
          tags,
          security: bySecret,
          consumes: ['application/x-www-form-urlencoded'],
          body: tokenIn,
          response: { 200: tokenOut, ...errors },
        },
      },
      async request => {
        const parameters = parametersOf(request)
        checkGrantType(parameters)
        const client = await clientOf(request, parameters)
        checkClientAdmitted(client.app)
        const granted = checkScope(parameters, client.app)
        const token = await issueToken(issuer, client, granted, request.now)
        request.log.info({ app: client.app.id, action: 'token', outcome: 'ok' }, 'access token issued')
        return {
          access_token: token,
          token_type: 'Bearer',
          expires_in: tokenLifetime,
          scope: granted.join(' '),
        } as const
      },
    )

    app.post(
      '/oauth/revoke',
      {
        config: clientOnly,
        validatorCompiler: readHere,
        schema: {
          operationId: 'revokeToken',
          summary: 'Withdraw an access token; 200 also for one that is unknown',
          description: 'The client authenticates by HTTP Basic, or with its id and secret in the body.',
          tags,
          security: bySecret,
          consumes: ['application/x-www-form-urlencoded'],
          body: revocationIn,
          response: { 200: z.object({}), ...errors },
        },
      },
      async request => {
        const parameters = parametersOf(request)
        const client = await clientOf(request, parameters)
        await revokeToken(db, issuer, client.app, parameters, request.now)
        request.log.info({ app: client.app.id, action: 'revoke', outcome: 'ok' }, 'access token withdrawn')
        return {}
      },
    )

    const clientOf = (request: FastifyRequest, parameters: Parameters): Promise<AuthenticatedClient> =>
      authenticateClient(db, readClientCredentials(request.headers.authorization, parameters), {
        now: request.now,
        from: request.ip,
      })
  }

const parametersOf = (request: FastifyRequest): Parameters =>
  checkParameters({ contentType: request.headers['content-type'], query: request.query, body: request.body })

function answerOAuthError(error: unknown, request: FastifyRequest, reply: FastifyReply) {
  const known = error instanceof OAuthError ? error : unreadable(error)
  if (!known) throw error
  request.log.warn({ action: 'token', outcome: known.code, ip: request.ip }, 'token request refused')
  if (known.code === 'invalid_client') reply.header('www-authenticate', 'Basic realm="oauth", charset="UTF-8"')
  return reply.code(known.status).send(known.body)
}

// A body that no parser takes is malformed in the endpoint's own words too.
const unreadable = (error: unknown): OAuthError | null => {
  const status = (error as { statusCode?: number; status?: number }).statusCode ?? (error as { status?: number }).status
  return status === 400 || status === 415 ? new OAuthError('invalid_request', 'The request can not be read.') : null
}
