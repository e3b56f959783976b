import { createHash } from 'node:crypto'
import { text } from 'node:stream/consumers'
import { type Entry, openPromise, type ZipFile } from 'yauzl'
import { type Migration, migrationsOfProgram } from '../migrate.ts'
import {
  cellsPart,
  type Description,
  descriptionSchema,
  exportFormat,
  filesFolder,
  linesPart,
  manifestName,
  sumsName,
} from './description.ts'
import { kept } from './left-out.ts'
import { linesIn } from './table-parts.ts'

export type OpenedExport = {
  readonly description: Description
  /** SHA-256 by the path of a part. */
  readonly sums: ReadonlyMap<string, string>
  /** Paths of the kept files, in the order they lie in the archive. */
  readonly files: readonly string[]
  read(path: string): Promise<AsyncIterable<Buffer>>
  close(): void
}

/** An export that may not be read in: what is wrong with it, and what to do. */
export class UnfitExport extends Error {}

/** Opens an export and reads all of it through: every part must be there and be as it was written. */
export async function openExport(file: string, say: (line: string) => void = () => {}): Promise<OpenedExport> {
  const zip = await openPromise(file, { autoClose: false }).catch(cause => {
    if (cause instanceof Error && 'code' in cause) throw cause
    throw new UnfitExport(
      `${file} is no whole zip archive (${said(cause)}). Fetch the export again; a backup is read in with restore.`,
    )
  })
  try {
    const entries = await entriesOf(zip).catch(cause => {
      throw new UnfitExport(`${file} is damaged (${said(cause)}). Fetch or take the export again.`)
    })
    const opened = await describedIn(file, zip, entries)
    say(`Checking ${opened.sums.size} parts`)
    for (const [path, sum] of opened.sums) await refuseAltered(file, opened, path, sum)
    await refuseWithoutFiles(file, opened)
    return opened
  } catch (error) {
    zip.close()
    throw error
  }
}

async function entriesOf(zip: ZipFile): Promise<ReadonlyMap<string, Entry>> {
  const entries = new Map<string, Entry>()
  for await (const entry of zip.eachEntry()) entries.set(entry.fileName, entry)
  return entries
}

async function describedIn(file: string, zip: ZipFile, entries: ReadonlyMap<string, Entry>): Promise<OpenedExport> {
  const read = async (path: string): Promise<AsyncIterable<Buffer>> => {
    const entry = entries.get(path)
    if (!entry) throw new UnfitExport(`The part ${path} is missing from ${file}. Fetch or take the export again.`)
    return zip.openReadStreamPromise(entry)
  }
  if (!entries.has(manifestName))
    throw new UnfitExport(`${file} is no export of this program: there is no ${manifestName} in it.`)
  const description = descriptionFrom(file, await textOf(file, manifestName, read))
  refuseNewer(file, description, await migrationsOfProgram())
  const sums = sumsFrom(await textOf(file, sumsName, read))
  const wanted = description.tables.flatMap(({ name }) => [linesPart(name), cellsPart(name)])
  for (const path of [manifestName, ...wanted])
    if (!sums.has(path))
      throw new UnfitExport(`The part ${path} is missing from ${file}. Fetch or take the export again.`)
  const files = [...sums.keys()].filter(path => path.startsWith(filesFolder))
  return { description, sums, files, read, close: () => zip.close() }
}

const textOf = async (file: string, path: string, read: OpenedExport['read']): Promise<string> =>
  text(await read(path)).catch(cause => {
    throw new UnfitExport(
      `${file} is damaged: ${path} cannot be read (${said(cause)}). Fetch or take the export again.`,
    )
  })

function descriptionFrom(file: string, words: string): Description {
  const json = ((): { format?: unknown; version?: unknown } | null => {
    try {
      return JSON.parse(words)
    } catch {
      return null
    }
  })()
  if (typeof json?.format === 'number' && json.format > exportFormat) throw newer(file, String(json.version))
  const read = descriptionSchema.safeParse(json)
  if (read.success) return read.data
  throw new UnfitExport(`${file} is damaged: ${manifestName} is not as it was written. Fetch or take the export again.`)
}

function refuseNewer(file: string, { migrations, version }: Description, known: readonly Migration[]): void {
  if (!migrations.every(name => known.some(migration => migration.name === name))) throw newer(file, version)
}

const newer = (file: string, version: string): UnfitExport =>
  new UnfitExport(
    `${file} was written by a newer version of this program (${version}). Read it in with that version or a later one.`,
  )

const sumsFrom = (words: string): ReadonlyMap<string, string> =>
  new Map(words.split('\n').flatMap(line => (line ? [[line.slice(66), line.slice(0, 64)] as const] : [])))

async function refuseAltered(file: string, opened: OpenedExport, path: string, sum: string): Promise<void> {
  const bytes = await opened.read(path)
  const found = await hashOf(bytes).catch(() => null)
  const isKept = path.startsWith(filesFolder)
  if (found === sum && (!isKept || path.startsWith(`${filesFolder}${sum}`))) return
  throw new UnfitExport(
    `${file} is damaged: ${path} is not as it was written. Fetch or take the export again; what was changed by hand ` +
      'in an export cannot be read in.',
  )
}

/** Every file that the records name must be among the parts. */
async function refuseWithoutFiles(file: string, opened: OpenedExport): Promise<void> {
  const there = new Set(opened.files.map(hashIn))
  for await (const line of linesIn(await opened.read(linesPart(kept.table)))) {
    const hash = String((JSON.parse(line.toString('utf8')) as Record<string, unknown>)[kept.hash])
    if (!there.has(hash))
      throw new UnfitExport(`The kept file ${hash} is missing from ${file}. Fetch or take the export again.`)
  }
}

/** The hash that a kept file is named by. */
export const hashIn = (path: string): string => path.slice(filesFolder.length, filesFolder.length + 64)

async function hashOf(bytes: AsyncIterable<Buffer>): Promise<string> {
  const hash = createHash('sha256')
  for await (const piece of bytes) hash.update(piece)
  return hash.digest('hex')
}

const said = (cause: unknown): string => (cause instanceof Error ? cause.message : String(cause))
