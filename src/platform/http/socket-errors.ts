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
  socket.end(rawProblem(problems[error.code ?? ''] ?? malformed, config), () => socket.destroySoon())
}

function rawProblem(problem: Problem, config: Config): string {
  const id = newId()
  const body = JSON.stringify(problemBody(problem, config.publicUrl, id))
  const headers = {
    ...headersFor(config),
    'x-request-id': id,
    'content-type': 'application/problem+json; charset=utf-8',
    'content-length': String(Buffer.byteLength(body)),
    connection: 'close',
  }
  const lines = Object.entries(headers).map(([name, value]) => `${name}: ${value}`)
  return [`HTTP/1.1 ${problem.status} ${STATUS_CODES[problem.status]}`, ...lines, '', body].join('\r\n')
}
