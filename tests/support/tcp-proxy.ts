import { type AddressInfo, connect, createServer, type Socket } from 'node:net'

export type Way = 'to-server' | 'to-client'

/** Sees each chunk before it goes on; false holds it back for ever. */
export type Watch = (chunk: Buffer, way: Way, connection: number) => boolean

export type TcpProxy = {
  readonly port: number
  readonly connections: number
  readonly bytes: { readonly toServer: number; readonly toClient: number }
  watch(watch?: Watch): void
  /** Bytes stop in both ways, nothing is closed: what a dead network looks like. New connections are taken and stay mute. */
  goSilent(): void
  /** Passes bytes again; what came while silent is lost with its connection. */
  speak(): void
  /** Each chunk waits so long before it goes on. */
  delay(ms: number): void
  /** Resets every open connection. */
  cut(): void
  /** Refuses new connections until told otherwise. */
  refuse(yes: boolean): void
  close(): Promise<void>
}

/** Stands between a client and a server on loopback and misbehaves on request. */
export async function aTcpProxy(targetPort: number, listenPort = 0): Promise<TcpProxy> {
  const pairs = new Set<{ client: Socket; server: Socket; muted: boolean }>()
  const bytes = { toServer: 0, toClient: 0 }
  let watch: Watch | undefined
  let silent = false
  let refusing = false
  let delayMs = 0
  let count = 0

  const proxy = createServer({ pauseOnConnect: false }, client => {
    if (refusing) return void client.resetAndDestroy()
    const connection = ++count
    const server = connect(targetPort, '127.0.0.1')
    const pair = { client, server, muted: false }
    pairs.add(pair)
    const pass = (from: Socket, to: Socket, way: Way) => {
      from.on('data', chunk => {
        if (silent) pair.muted = true
        if (pair.muted || watch?.(chunk, way, connection) === false) return
        bytes[way === 'to-server' ? 'toServer' : 'toClient'] += chunk.length
        if (delayMs > 0) setTimeout(() => to.writable && to.write(chunk), delayMs)
        else if (to.writable) to.write(chunk)
      })
      from.on('error', () => to.destroy())
      from.on('close', () => {
        pairs.delete(pair)
        if (!pair.muted) to.end()
      })
    }
    pass(client, server, 'to-server')
    pass(server, client, 'to-client')
  })
  await new Promise<void>(resolve => proxy.listen(listenPort, '127.0.0.1', resolve))

  const destroyAll = () => {
    for (const { client, server } of pairs) {
      client.resetAndDestroy()
      server.destroy()
    }
    pairs.clear()
  }
  return {
    port: (proxy.address() as AddressInfo).port,
    bytes,
    get connections() {
      return pairs.size
    },
    watch(next) {
      watch = next
    },
    goSilent() {
      silent = true
      for (const pair of pairs) pair.muted = true
    },
    speak() {
      silent = false
    },
    delay(ms) {
      delayMs = ms
    },
    cut: destroyAll,
    refuse(yes) {
      refusing = yes
    },
    close() {
      destroyAll()
      return new Promise(resolve => proxy.close(() => resolve()))
    },
  }
}
