import { createWriteStream } from 'node:fs'
import { buffer } from 'node:stream/consumers'
import { finished } from 'node:stream/promises'
import { openPromise } from 'yauzl'
import { ZipFile } from 'yazl'
import { type Settled, settleExport } from '../../src/intake/settle-export.ts'
import type { Description } from '../../src/ops/export/description.ts'
import { type Imported, importExport } from '../../src/ops/export/import-export.ts'
import { takeExport } from '../../src/ops/export/take-export.ts'

export const cautionOfTests = 'A test tells what was measured where and when.'

/** Writes a database's export into a file. */
export async function exportInto(url: string, file: string, now: number): Promise<Description> {
  const taken = await takeExport(url, { now, caution: cautionOfTests })
  return taken.writeInto(createWriteStream(file))
}

/** Reads an export in as the operator's command does. */
export const importFrom = (url: string, file: string, now: number): Promise<Imported<Settled>> =>
  importExport(url, file, (tx, { takenAt }) =>
    settleExport(tx, { actor: { kind: 'operator', id: null }, now, requestId: 'test' }, Date.parse(takenAt)),
  )

/** The parts of an archive by their path. */
export async function partsOf(file: string): Promise<Map<string, Buffer>> {
  const zip = await openPromise(file, { autoClose: false })
  const parts = new Map<string, Buffer>()
  for await (const entry of zip.eachEntry())
    parts.set(entry.fileName, await buffer(await zip.openReadStreamPromise(entry)))
  zip.close()
  return parts
}

/** Packs parts into an archive again. */
export async function packed(file: string, parts: ReadonlyMap<string, Buffer>): Promise<void> {
  const zip = new ZipFile()
  for (const [path, bytes] of parts) zip.addBuffer(bytes, path)
  zip.end()
  const out = createWriteStream(file)
  zip.outputStream.pipe(out)
  await finished(out)
}

/** The records in an archive's part of a table. */
export const recordsIn = (parts: ReadonlyMap<string, Buffer>, table: string): Record<string, unknown>[] =>
  (parts.get(`ndjson/${table}.ndjson`) ?? Buffer.alloc(0))
    .toString('utf8')
    .split('\n')
    .flatMap(line => (line ? [JSON.parse(line) as Record<string, unknown>] : []))
