import { OAuthError } from './oauth-error.ts'

export type Parameters = { readonly [name: string]: string | undefined }

/**
 * The parameters of a request to the token or revocation endpoint. They come form-encoded in the body, each at most once;
 * unknown ones are ignored and empty ones count as left out (RFC 6749, sections 3.2 and 4.4.2).
 */
export function checkParameters(request: {
  contentType: string | undefined
  query: unknown
  body: unknown
}): Parameters {
  if (!/^application\/x-www-form-urlencoded\s*(;|$)/i.test(request.contentType ?? ''))
    throw new OAuthError('invalid_request', 'Send the parameters as application/x-www-form-urlencoded.')
  if (Object.keys(request.query ?? {}).length > 0)
    throw new OAuthError('invalid_request', 'Send the parameters in the body, not in the URL.')
  const given = Object.entries((request.body ?? {}) as Record<string, unknown>)
  const repeated = given.find(([, value]) => typeof value !== 'string')
  if (repeated) throw new OAuthError('invalid_request', 'A parameter is there more than once.')
  return Object.fromEntries(given.filter(([, value]) => value !== '')) as Parameters
}
