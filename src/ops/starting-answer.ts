import { createServer } from 'node:http'

/** Answers on the program's address while it cannot serve yet: not ready, and why. Gives the function that ends it. */
export function answerWhileStarting(port: number, host: string, because: string): () => Promise<void> {
  const server = createServer((request, response) => {
    const alive = request.url === '/healthz'
    response.writeHead(alive ? 200 : 503, {
      'content-type': 'application/json',
      'cache-control': 'no-store',
      connection: 'close',
      ...(alive ? {} : { 'retry-after': '2' }),
    })
    response.end(JSON.stringify({ status: alive ? 'ok' : because }))
  })
  // Another process of ours may hold the address; it says the same.
  server.on('error', () => {})
  server.listen(port, host)
  return () =>
    new Promise(resolve => {
      server.close(() => resolve())
      server.closeAllConnections()
    })
}
