import type { App } from '../queries.ts'
import type { Parameters } from './check-parameters.ts'
import { OAuthError } from './oauth-error.ts'

// scope-token of RFC 6749, section 3.3.
const wellFormed = /^[\x21\x23-\x5b\x5d-\x7e]+( [\x21\x23-\x5b\x5d-\x7e]+)*$/

/** The scopes asked for, or all of the client's when none are; asking for one it was not given is refused. */
export function checkScope(parameters: Parameters, app: Pick<App, 'scopes'>): readonly string[] {
  if (parameters.scope === undefined) return app.scopes
  if (!wellFormed.test(parameters.scope))
    throw new OAuthError('invalid_scope', 'scope is a list parted by single spaces.')
  const asked = [...new Set(parameters.scope.split(' '))]
  if (asked.some(scope => !app.scopes.includes(scope)))
    throw new OAuthError('invalid_scope', `This client may ask for: ${app.scopes.join(' ')}`)
  return asked
}
