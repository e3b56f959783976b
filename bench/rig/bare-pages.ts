import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'

/** A server that answers with the bytes another one gave, from memory: a page with nothing behind it. */
export async function barePages(origin: string, cookie: string): Promise<{ origin: string; close(): void }> {
  const kept = new Map<string, Promise<{ type: string; body: Buffer }>>()
  const ask = async (path: string) => {
    const answer = await fetch(origin + path, { headers: { cookie, accept: 'text/html' } })
    return { type: answer.headers.get('content-type') ?? '', body: Buffer.from(await answer.arrayBuffer()) }
  }
  const server = createServer(async (request, reply) => {
    const path = request.url ?? '/'
    const known = kept.get(path) ?? ask(path)
    kept.set(path, known)
    const { type, body } = await known
    reply.writeHead(200, { 'content-type': type }).end(body)
  })
  await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve))
  return { origin: `http://127.0.0.1:${(server.address() as AddressInfo).port}`, close: () => void server.close() }
}
