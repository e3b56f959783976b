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

/** Whether an error means that the database can not be reached, rather than that it refused something. */
export function isUnavailable(error: unknown): boolean {
  if (!(error instanceof Error)) return false
  const { code, syscall } = error as { code?: unknown; syscall?: unknown }
  if (typeof code === 'string' && states.test(code)) return true
  if (typeof code === 'string' && network.has(code) && (syscall !== 'open' || code !== 'ENOENT')) return true
  return words.test(error.message) || (error instanceof AggregateError && error.errors.some(isUnavailable))
}
