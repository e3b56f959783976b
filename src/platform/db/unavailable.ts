const network = new Set([
  'ECONNREFUSED',
  'ECONNRESET',
  'EPIPE',
  'ENOTFOUND',
  'EAI_AGAIN',
  'ETIMEDOUT',
  'EHOSTUNREACH',
  'ENOENT',
])
// Class 08 connection, 57P01-57P03 shutting down or starting, 53300 too many connections, 25P03 idle in transaction.
const states = /^(08\w{3}|57P0[1-5]|53300|25P0[23])$/
// pg says these without a code.
const words =
  /Connection terminated|timeout exceeded when trying to connect|Query read timeout|not queryable|Cannot use a pool after/

/** The connection broke between a commit and its answer: the write may be there or not. */
export class CommitUnanswered extends Error {
  constructor(cause: Error) {
    super('The connection was lost before the commit was answered', { cause })
  }
}

/** Whether a connection has stopped answering, which no server that lives does: it ends a statement before that. */
export const wentSilent = (error: unknown): boolean => error instanceof Error && error.message === 'Query read timeout'

/** Whether an error means that the database can not be reached, rather than that it refused something. */
export function isUnavailable(error: unknown): error is Error {
  if (!(error instanceof Error)) return false
  if (error instanceof CommitUnanswered) return true
  const { code, syscall } = error as { code?: unknown; syscall?: unknown }
  if (typeof code === 'string' && states.test(code)) return true
  if (typeof code === 'string' && network.has(code) && (syscall !== 'open' || code !== 'ENOENT')) return true
  return words.test(error.message) || (error instanceof AggregateError && error.errors.some(isUnavailable))
}
