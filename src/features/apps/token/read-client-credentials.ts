import type { Parameters } from './check-parameters.ts'
import { OAuthError } from './oauth-error.ts'

export type ClientCredentials = { readonly clientId: string; readonly secret: string }

/** Who the client says it is: by HTTP Basic or in the body, never both (RFC 6749, section 2.3). */
export function readClientCredentials(authorization: string | undefined, parameters: Parameters): ClientCredentials {
  const inBody = parameters.client_secret !== undefined
  if (authorization === undefined) {
    const { client_id: clientId, client_secret: secret } = parameters
    if (clientId === undefined || secret === undefined) throw new OAuthError('invalid_client', 'Say who you are.')
    return { clientId, secret }
  }
  if (inBody) throw new OAuthError('invalid_request', 'Authenticate in one way: the header or the body.')
  const basic = fromBasic(authorization)
  if (parameters.client_id !== undefined && parameters.client_id !== basic.clientId)
    throw new OAuthError('invalid_request', 'The header and the body name two different clients.')
  return basic
}

// Both halves are form-encoded before they are put together (RFC 6749, section 2.3.1).
function fromBasic(authorization: string): ClientCredentials {
  const [, encoded] = /^Basic +([A-Za-z0-9+/=_-]+)$/i.exec(authorization) ?? []
  const pair = Buffer.from(encoded ?? '', 'base64').toString('utf8')
  const colon = pair.indexOf(':')
  if (colon < 1) throw new OAuthError('invalid_client', 'The Authorization header holds no Basic credentials.')
  try {
    return { clientId: formDecoded(pair.slice(0, colon)), secret: formDecoded(pair.slice(colon + 1)) }
  } catch {
    throw new OAuthError('invalid_client', 'The Authorization header holds no Basic credentials.')
  }
}

const formDecoded = (text: string) => decodeURIComponent(text.replaceAll('+', ' '))
