/** What came of a dialogue with the mail server; `reply` is in its own words. */
export type Outcome =
  | { readonly kind: 'sent'; readonly reply: string }
  /** This mail may go through later. */
  | { readonly kind: 'temporary'; readonly code: number | null; readonly reply: string }
  /** This address or mail is refused for good. */
  | { readonly kind: 'permanent'; readonly code: number; readonly reply: string }
  /** The server does not take us: wrong login, or our sender refused. It will not take the next mail either. */
  | { readonly kind: 'auth-failed'; readonly code: number | null; readonly reply: string }
  /** There was no server to talk to. */
  | { readonly kind: 'unreachable'; readonly code: null; readonly reply: string }
  /** No server is configured: the office reads the mail on screen. */
  | { readonly kind: 'held' }

type SmtpError = { code?: string; command?: string; responseCode?: number; response?: string; message?: string }

const noServer = new Set(['EDNS', 'ETLS', 'ECONNECTION', 'ECONNREFUSED', 'EHOSTUNREACH', 'ENOTFOUND', 'EPROXY'])

/** Reads what the mail library throws. 4xx is for later, 5xx for good (RFC 5321, 4.2.1), by what was being said. */
export function outcomeOf(error: unknown): Outcome {
  const { code = '', command = '', responseCode, response, message } = error as SmtpError
  const reply = (response ?? message ?? String(error)).replace(/\s+/g, ' ').slice(0, 500)
  const status = responseCode ?? null
  if (code === 'EAUTH' && (status === null || status >= 500)) return { kind: 'auth-failed', code: status, reply }
  const aboutUs = command === 'CONN' || command === 'EHLO' || command === 'HELO' || command.startsWith('AUTH')
  if (noServer.has(code) || aboutUs) return { kind: 'unreachable', code: null, reply }
  if (status !== null && status >= 500)
    return command === 'MAIL FROM'
      ? { kind: 'auth-failed', code: status, reply }
      : { kind: 'permanent', code: status, reply }
  return { kind: 'temporary', code: status, reply }
}
