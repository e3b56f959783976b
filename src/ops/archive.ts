import { createHash } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { createGunzip } from 'node:zlib'
import { z } from 'zod'
import { tarEntries } from './tar.ts'

/** Says what an archive holds; its last entry, so that an archive that was cut off has none. */
export const manifestSchema = z.object({
  format: z.literal(1),
  takenAt: z.string(),
  migrations: z.array(z.string()),
  queueLevel: z.number().nullable(),
  /** A transaction number later than all that wrote the rows. */
  transaction: z.string(),
  /** Fingerprints of the secrets without which parts of the data are of no use, by name. */
  keys: z.record(z.string(), z.string()),
  tables: z.array(
    z.object({
      schema: z.string(),
      name: z.string(),
      columns: z.array(z.string()),
      rows: z.number(),
      sha256: z.string(),
    }),
  ),
  sequences: z.array(z.object({ schema: z.string(), name: z.string(), last: z.string(), called: z.boolean() })),
})
export type Manifest = z.infer<typeof manifestSchema>
export type ArchivedTable = Manifest['tables'][number]

/** Recognises a secret without giving it away. */
export const fingerprintOf = (secret: string): string =>
  createHash('sha256').update(`underslab backup key\0${secret}`).digest('hex').slice(0, 16)

export const keptUnder = (table: { schema: string; name: string }): string => `tables/${table.schema}.${table.name}/`

/** The pieces of the tables in the order they were written: text as PostgreSQL's COPY gives it. */
export async function* piecesOf(file: string): AsyncGenerator<{ readonly table: string; readonly content: Buffer }> {
  for await (const { name, content } of tarEntries(bytesOf(file)))
    if (name.startsWith('tables/')) yield { table: name.slice(0, name.lastIndexOf('/') + 1), content }
}

/** Reads an archive through and gives its manifest; throws when anything in it is damaged or missing. */
export async function checkedManifest(file: string): Promise<Manifest> {
  const found = new Map<string, ReturnType<typeof createHash>>()
  let manifest: Manifest | null = null
  try {
    for await (const { name, content } of tarEntries(bytesOf(file))) {
      if (name === 'manifest.json') manifest = manifestSchema.parse(JSON.parse(content.toString('utf8')))
      const table = name.slice(0, name.lastIndexOf('/') + 1)
      if (table) found.set(table, (found.get(table) ?? createHash('sha256')).update(content))
    }
  } catch (cause) {
    throw new Error(`${file} cannot be restored: ${said(cause)}. Take another backup; this one is not whole.`, {
      cause,
    })
  }
  if (!manifest) throw new Error(`${file} is no backup of this program: it has no manifest.`)
  for (const table of manifest.tables)
    if (hashOf(found.get(keptUnder(table))) !== table.sha256)
      throw new Error(`${file} is damaged: the table ${table.name} is not as it was written. Take another backup.`)
  return manifest
}

const hashOf = (hash = createHash('sha256')): string => hash.digest('hex')
const said = (cause: unknown): string => (cause instanceof Error ? cause.message : String(cause))

function bytesOf(file: string): AsyncIterable<Buffer> {
  const stream = createReadStream(file, { highWaterMark: 1 << 20 })
  if (!file.endsWith('.gz')) return stream
  const unzipped = createGunzip()
  stream.on('error', error => unzipped.destroy(error))
  return stream.pipe(unzipped)
}
