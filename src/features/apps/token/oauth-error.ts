/** The errors of RFC 6749 section 5.2 that a client-credentials request can meet. */
export type OAuthErrorCode =
  | 'invalid_request'
  | 'invalid_client'
  | 'unauthorized_client'
  | 'unsupported_grant_type'
  | 'invalid_scope'

export class OAuthError extends Error {
  readonly code: OAuthErrorCode
  constructor(code: OAuthErrorCode, description: string) {
    super(description)
    this.code = code
  }
  get status(): 400 | 401 {
    return this.code === 'invalid_client' ? 401 : 400
  }
  get body() {
    return { error: this.code, error_description: this.message }
  }
}
