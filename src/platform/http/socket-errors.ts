import { type ServerResponse, STATUS_CODES } from 'node:http'
import type { Socket } from 'node:net'
import type { Config } from '../config.ts'
import { newId } from '../ids.ts'
import { headersFor } from './headers.ts'
import { Problem } from './problem.ts'
import { problemBody } from './problem-body.ts'

const problems: Readonly<Record<string, Problem>> = {
  ERR_HTTP_REQUEST_TIMEOUT: new Problem(408, 'request-timeout', 'The request did not arrive in time.'),
  HPE_HEADER_OVERFLOW: new Problem(431, 'malformed-request', 'The headers are longer than 16 KiB.'),
}
const malformed = new Problem(400, 'malformed-request', 'This is no well-formed HTTP request.')

/** Answers what never became a request (too slow, malformed), and closes: nothing after it can be trusted. */
export function answerBrokenRequest(error: Error & { code?: string }, socket: Socket, config: Config): void {
  const { _httpMessage: underWay } = socket as Socket & { _httpMessage?: ServerResponse }
  if (error.code === 'ECONNRESET' || !socket.writable || underWay?.headersSent) {
    socket.destroy()
    return
  }
  const problem = problems[error.code ?? ''] ?? malformed
  const { headers, body } = rawProblem(problem, config)
  const lines = Object.entries({ ...headers, connection: 'close' }).map(([name, value]) => `${name}: ${value}`)
  const start = `HTTP/1.1 ${problem.status} ${STATUS_CODES[problem.status]}`
  socket.end([start, ...lines, '', body].join('\r\n'), () => socket.destroySoon())
}

const badAddress = new Problem(400, 'malformed-request', 'The address can not be decoded.')

/** Answers an address that no route could even be sought for. */
export function answerBadAddress(response: ServerResponse, config: Config): void {
  const { headers, body } = rawProblem(badAddress, config)
  response.writeHead(badAddress.status, headers)
  response.end(body)
}

function rawProblem(problem: Problem, config: Config) {
  const id = newId()
  const body = JSON.stringify(problemBody(problem, config.publicUrl, id))
  const headers = {
    ...headersFor(config),
    'x-request-id': id,
    'content-type': 'application/problem+json; charset=utf-8',
    'content-length': String(Buffer.byteLength(body)),
  }
  return { headers, body }
}
