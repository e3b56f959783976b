import type { Watch } from './tcp-proxy.ts'

/** Called before a step's bytes go on; false holds them back, so that the server never sees the step. */
export type OnStep = (label: string) => boolean

/**
 * Reads PostgreSQL's frontend messages and reports each statement about to run: Query, or Parse and Execute of the
 * extended protocol as one. Message layout: PostgreSQL documentation, "Message Formats".
 */
export function sqlSteps(onStep: OnStep): Watch {
  const streams = new Map<number, { rest: Buffer; started: boolean; names: Map<string, string>; bound: string }>()
  return (chunk, way, connection) => {
    if (way === 'to-client') return true
    const stream = streams.get(connection) ?? { rest: Buffer.alloc(0), started: false, names: new Map(), bound: '' }
    streams.set(connection, stream)
    stream.rest = Buffer.concat([stream.rest, chunk])
    let goesOn = true
    for (;;) {
      const head = stream.started ? 1 : 0
      if (stream.rest.length < head + 4) return goesOn
      const length = stream.rest.readInt32BE(head)
      if (stream.rest.length < head + length) return goesOn
      const message = stream.rest.subarray(0, head + length)
      stream.rest = stream.rest.subarray(head + length)
      if (!stream.started) {
        // 80877103 asks for TLS; the start-up message proper follows it.
        stream.started = message.readInt32BE(4) !== 80_877_103
        continue
      }
      const type = String.fromCharCode(message[0]!)
      const [first = '', second = ''] = message.subarray(5).toString('utf8').split('\0')
      if (type === 'P') stream.names.set(first, second)
      if (type === 'B') stream.bound = stream.names.get(second) ?? second
      if (type === 'Q') goesOn = onStep(first) && goesOn
      if (type === 'E') goesOn = onStep(stream.bound) && goesOn
    }
  }
}

/** Reports each SMTP command, and the end of each message as `.`. */
export function smtpSteps(onStep: OnStep): Watch {
  const streams = new Map<number, { rest: string; inMessage: boolean }>()
  return (chunk, way, connection) => {
    if (way === 'to-client') return true
    const stream = streams.get(connection) ?? { rest: '', inMessage: false }
    streams.set(connection, stream)
    const lines = (stream.rest + chunk.toString('latin1')).split('\r\n')
    stream.rest = lines.pop() ?? ''
    let goesOn = true
    for (const line of lines) {
      if (stream.inMessage && line !== '.') continue
      stream.inMessage = /^DATA$/i.test(line)
      goesOn = onStep(line === '.' ? '.' : line.slice(0, 4).toUpperCase()) && goesOn
    }
    return goesOn
  }
}
