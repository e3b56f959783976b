import type { IncomingMessage, Server, ServerResponse } from 'node:http'

export type Answer = {
  readonly method: string
  readonly path: string
  readonly status: number
  readonly headers: ReturnType<ServerResponse['getHeaders']>
  readonly body: string
}

/** Tells of every answer that leaves the server, complete, as the client gets it before any compression of a proxy. */
export function watchAnswers(server: Server, tell: (answer: Answer) => void): void {
  server.prependListener('request', (request: IncomingMessage, response: ServerResponse) => {
    const chunks: Buffer[] = []
    const keep = (chunk: unknown) => {
      if (typeof chunk === 'string') chunks.push(Buffer.from(chunk))
      else if (chunk instanceof Uint8Array) chunks.push(Buffer.from(chunk))
    }
    const { write, end, writeHead } = response
    let given: ReturnType<ServerResponse['getHeaders']> = {}
    response.writeHead = function watched(this: ServerResponse, ...args: unknown[]) {
      // Headers handed to writeHead in one go never show up in getHeaders.
      const last = args.at(-1)
      if (last !== null && typeof last === 'object' && !Array.isArray(last)) given = last as typeof given
      return Reflect.apply(writeHead, this, args)
    } as typeof response.writeHead
    response.write = function watched(this: ServerResponse, ...args: unknown[]) {
      keep(args[0])
      return Reflect.apply(write, this, args)
    } as typeof response.write
    response.end = function watched(this: ServerResponse, ...args: unknown[]) {
      keep(args[0])
      return Reflect.apply(end, this, args)
    } as typeof response.end
    response.once('finish', () =>
      tell({
        method: request.method ?? '',
        path: (request.url ?? '').split('?')[0]!,
        status: response.statusCode,
        headers: { ...response.getHeaders(), ...given },
        body: Buffer.concat(chunks).toString('utf8'),
      }),
    )
  })
}
