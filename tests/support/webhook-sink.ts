import { appendFileSync } from 'node:fs'
import { mkdir } from 'node:fs/promises'
import { createServer, type IncomingHttpHeaders, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { join } from 'node:path'
import { testFolder } from './postgres.ts'

export type Delivery = {
  readonly at: number
  readonly method: string
  readonly path: string
  readonly headers: IncomingHttpHeaders
  readonly body: string
}

export type WebhookSink = {
  readonly url: string
  readonly file: string
  readonly ledger: readonly Delivery[]
  /** Replaces the answer; none answers 204 at once. A responder that never ends the response leaves the caller hanging. */
  behave(answer?: (delivery: Delivery, response: ServerResponse) => void): void
  close(): Promise<void>
}

/** A receiver that writes down each delivery before it answers. */
export async function aWebhookSink(): Promise<WebhookSink> {
  await mkdir(testFolder, { recursive: true })
  const ledger: Delivery[] = []
  let answer: ((delivery: Delivery, response: ServerResponse) => void) | undefined
  const server = createServer(async (request, response) => {
    const chunks: Buffer[] = []
    for await (const chunk of request) chunks.push(chunk as Buffer)
    const delivery: Delivery = {
      at: Date.now(),
      method: request.method ?? '',
      path: request.url ?? '',
      headers: request.headers,
      body: Buffer.concat(chunks).toString('utf8'),
    }
    ledger.push(delivery)
    appendFileSync(file, `${JSON.stringify(delivery)}\n`)
    if (answer) answer(delivery, response)
    else response.writeHead(204).end()
  })
  await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve))
  const { port } = server.address() as AddressInfo
  const file = join(testFolder, `webhooks-${process.pid}-${port}.jsonl`)
  return {
    url: `http://127.0.0.1:${port}`,
    file,
    ledger,
    behave(next) {
      answer = next
    },
    close() {
      server.closeAllConnections()
      return new Promise(resolve => server.close(() => resolve()))
    },
  }
}
