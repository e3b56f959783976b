import type { Logger } from '../platform/log.ts'

/** What has been opened, in the order of opening; it is closed the other way round. */
export type Opened = { readonly name: string; close(): Promise<unknown> }[]

/** After this long whatever has not ended by itself is cut. ms */
const patience = 25_000

/**
 * On SIGTERM or SIGINT, also in the middle of starting, closes everything in order and ends with 0; on a second one, or
 * when closing takes too long, at once. `cut` then ends the connections that are still open.
 * @returns whether it has begun to close.
 */
export function closeOnSignal(opened: Opened, log: () => Logger, cut: () => void): () => boolean {
  let stopping = false
  const stop = async (signal: string) => {
    if (stopping) return process.exit(1)
    stopping = true
    log().info({ signal }, 'stopping')
    setTimeout(cut, patience).unref()
    setTimeout(() => process.exit(1), patience + 4_000).unref()
    for (const { name, close } of opened.toReversed())
      await close().catch((error: unknown) => log().error({ err: error, part: name }, 'did not close well'))
    log().info('stopped')
    process.exit(0)
  }
  process.on('SIGTERM', stop)
  process.on('SIGINT', stop)
  return () => stopping
}
