import { connect, type Socket } from 'node:net'

export type Ending = { readonly statuses: readonly number[]; readonly text: string; readonly afterMs: number }

export type RawRequest = {
  readonly socket: Socket
  /** Resolves when the server has closed the connection. */
  readonly ended: Promise<Ending>
}

/** A connection on which each byte is ours to send or to withhold. */
export function rawRequest(port: number, first: string | Uint8Array = ''): RawRequest {
  const socket = connect(port, '127.0.0.1')
  const started = performance.now()
  let text = ''
  socket.on('data', chunk => {
    text += chunk.toString('latin1')
  })
  socket.on('error', () => {})
  if (first.length > 0) socket.write(first)
  const ended = new Promise<Ending>(resolve =>
    socket.once('close', () =>
      resolve({
        statuses: [...text.matchAll(/HTTP\/1\.1 (\d{3})/g)].map(match => Number(match[1])),
        text,
        afterMs: performance.now() - started,
      }),
    ),
  )
  return { socket, ended }
}

/** Sends one piece at a time, for as long as the server listens. */
export function drip(request: RawRequest, piece: string, everyMs: number): void {
  const timer = setInterval(() => request.socket.writable && request.socket.write(piece), everyMs)
  request.socket.once('close', () => clearInterval(timer))
}
