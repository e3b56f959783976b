import { createHash } from 'node:crypto'
import { Readable, type Writable } from 'node:stream'
import { finished, pipeline } from 'node:stream/promises'
import { ZipFile } from 'yazl'
import { sumsName } from './description.ts'

export type Content = AsyncIterable<Buffer> | Iterable<Buffer>

/** Writes one part after another into a zip archive, each as it comes: none is held in memory as a whole. */
export function zipInto(sink: Writable, madeAt: Date) {
  const zip = new ZipFile()
  const sums: string[] = []
  const output = zip.outputStream as Readable
  const written = pipeline(output, sink)
  // Told by whoever waits for a part or for the end.
  written.catch(() => {})
  zip.on('error', (error: Error) => output.destroy(error))

  async function add(path: string, content: Content, compress = true): Promise<void> {
    const hash = createHash('sha256')
    const source = Readable.from(passedBy(content, hash), { objectMode: false })
    zip.addReadStream(source, path, { mtime: madeAt, mode: 0o100600, compress })
    try {
      await Promise.race([finished(source), written])
    } finally {
      source.destroy()
    }
    sums.push(`${hash.digest('hex')}  ${path}\n`)
  }

  return {
    add,
    /** The sums of all parts, and the end of the archive. */
    async end(): Promise<void> {
      await add(sumsName, [Buffer.from(sums.join(''))])
      zip.end()
      await written
    },
    /** Lets whoever reads know that this is not the whole. */
    fail: (error: Error): void => void output.destroy(error),
  }
}

async function* passedBy(content: Content, hash: ReturnType<typeof createHash>): AsyncGenerator<Buffer> {
  for await (const piece of content) {
    hash.update(piece)
    yield piece
  }
}
