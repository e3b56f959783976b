import type { Logger } from '../platform/log.ts'

/** What is open, in the order in which it is closed. */
export type Closing = readonly { readonly name: string; close(): Promise<unknown> }[]

/** After this long whatever has not ended by itself is cut. ms */
const patience = 25_000

/**
 * On SIGTERM or SIGINT closes everything in order and ends with 0; on a second one, or when closing takes too long, at
 * once. `cut` then ends the connections that are still open.
 */
export function closeOnSignal(closing: Closing, log: Logger, cut: () => void): void {
  let stopping = false
  const stop = async (signal: string) => {
    if (stopping) return process.exit(1)
    stopping = true
    log.info({ signal }, 'stopping')
    setTimeout(cut, patience).unref()
    setTimeout(() => process.exit(1), patience + 4_000).unref()
    for (const { name, close } of closing)
      await close().catch((error: unknown) => log.error({ err: error, part: name }, 'did not close well'))
    log.info('stopped')
    process.exit(0)
  }
  process.on('SIGTERM', stop)
  process.on('SIGINT', stop)
}
