import { randomUUID } from 'node:crypto'
import type { IncomingMessage } from 'node:http'

const own = /^[\w.-]{8,64}$/
// W3C Trace Context: version, trace id, parent id, flags.
const trace = /^[\da-f]{2}-([\da-f]{32})-[\da-f]{16}-[\da-f]{2}$/

/** The caller's `X-Request-Id`, else the trace id of its `traceparent`, else a new one. */
export function requestIdOf(request: IncomingMessage): string {
  const { 'x-request-id': given, traceparent } = request.headers
  if (typeof given === 'string' && own.test(given)) return given
  const traced = typeof traceparent === 'string' ? trace.exec(traceparent)?.[1] : undefined
  return traced && !/^0+$/.test(traced) ? traced : randomUUID()
}
