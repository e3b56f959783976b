import type { App } from '../queries.ts'
import type { Parameters } from './check-parameters.ts'
import { OAuthError } from './oauth-error.ts'

/** Asks for the one grant there is (RFC 6749, section 4.4); known before the client is, since it tells nothing of it. */
export function checkGrantType(parameters: Parameters): void {
  if (parameters.grant_type === undefined) throw new OAuthError('invalid_request', 'grant_type is missing.')
  if (parameters.grant_type !== 'client_credentials')
    throw new OAuthError('unsupported_grant_type', 'The only grant_type is client_credentials.')
}

/** Whether the client may use it at all: one that the owner shut out may not. */
export function checkClientAdmitted(app: Pick<App, 'disabledAt'>): void {
  if (app.disabledAt !== null) throw new OAuthError('unauthorized_client', 'The company has disabled this client.')
}
