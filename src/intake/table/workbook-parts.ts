import { type Entry, fromBufferPromise, type ZipFile } from 'yauzl'
import { type Fault, Unreadable } from '../monitor-file/fault.ts'

/** More than this unpacked is no book of homes: a small file that unpacks to gigabytes fills the memory. */
const MOST_UNPACKED = 256 * 1024 * 1024
const MOST_PARTS = 2_000
const SAVE_AS = 'Open it and save it as a workbook (.xlsx) or as CSV, then choose that file.'

const refuse = (code: Fault['code'], problem: string, remedy = SAVE_AS) =>
  new Unreadable({ code, line: null, content: '', problem, remedy })

/** What a workbook says beside its cells' values: which cells are merged, and which formulas have no value. */
export type SheetMarks = {
  readonly merged: readonly { readonly column: number; readonly from: number; readonly to: number }[]
  readonly unreckoned: readonly { readonly column: number; readonly line: number }[]
}

/** Looks into a workbook before it is read: refuses what is none or unpacks to too much; gives the marks of each sheet by name. */
export async function workbookParts(bytes: Buffer): Promise<ReadonlyMap<string, SheetMarks>> {
  const zip = await opened(bytes)
  const entries = new Map<string, Entry>()
  let unpacked = 0
  for await (const entry of zip.eachEntry()) {
    unpacked += entry.uncompressedSize
    if (unpacked > MOST_UNPACKED || entries.size >= MOST_PARTS)
      throw refuse(
        'too-large',
        'The workbook unpacks to more than 256 MB.',
        'Part it into several files, or save the sheet as CSV.',
      )
    entries.set(entry.fileName, entry)
  }
  if (entries.has('mimetype') || entries.has('content.xml'))
    throw refuse('not-text', 'This is an OpenDocument table, which is not read here.')
  if (!entries.has('xl/workbook.xml')) throw refuse('not-text', 'This is a zip archive, not a workbook.')
  const text = async (name: string) => (entries.has(name) ? await textOf(zip, entries.get(name)!) : '')
  const targets = new Map(
    tagsOf(await text('xl/_rels/workbook.xml.rels'), 'Relationship').map(tag => [
      attribute(tag, 'Id'),
      attribute(tag, 'Target'),
    ]),
  )
  const marks = new Map<string, SheetMarks>()
  for (const tag of tagsOf(await text('xl/workbook.xml'), 'sheet')) {
    const target = (targets.get(attribute(tag, 'r:id')) ?? '').replace(/^\/?xl\//, '')
    marks.set(attribute(tag, 'name'), marksOf(await text(`xl/${target}`)))
  }
  return marks
}

async function opened(bytes: Buffer): Promise<ZipFile> {
  try {
    return await fromBufferPromise(bytes)
  } catch {
    throw refuse('not-text', 'The workbook is damaged: it does not open.')
  }
}

async function textOf(zip: ZipFile, entry: Entry): Promise<string> {
  const chunks: Buffer[] = []
  for await (const chunk of await zip.openReadStreamPromise(entry)) chunks.push(chunk as Buffer)
  return Buffer.concat(chunks).toString('utf8')
}

const tagsOf = (xml: string, name: string): readonly string[] =>
  xml.match(new RegExp(`<(?:\\w+:)?${name}\\s[^>]*>`, 'g')) ?? []
const ENTITIES: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" }
const attribute = (tag: string, name: string): string =>
  (new RegExp(`\\s${name}="([^"]*)"`).exec(tag)?.[1] ?? '').replaceAll(
    /&(amp|lt|gt|quot|apos);/g,
    (_, word) => ENTITIES[word]!,
  )

/** `C7` is column 2, line 7. */
function placeOf(reference: string): { readonly column: number; readonly line: number } | null {
  const [, letters, line] = /^([A-Z]{1,3})(\d{1,7})$/.exec(reference) ?? []
  if (!letters) return null
  return {
    column: [...letters].reduce((sum, letter) => sum * 26 + letter.charCodeAt(0) - 64, 0) - 1,
    line: Number(line),
  }
}

function marksOf(xml: string): SheetMarks {
  const merged = tagsOf(xml, 'mergeCell').flatMap(tag => {
    const [from, to] = attribute(tag, 'ref').split(':').map(placeOf)
    return from && to ? [{ column: from.column, from: from.line, to: to.line }] : []
  })
  const unreckoned = [
    ...xml.matchAll(
      /<c\s[^>]*?r="([A-Z]+\d+)"[^>]*>\s*<f\b(?:[^>]*\/>|[^>]*>[^<]*<\/f>)\s*(?:<v\s*\/>|<v><\/v>)?\s*<\/c>/g,
    ),
  ].flatMap(([, reference]) => placeOf(reference!) ?? [])
  return { merged, unreckoned }
}
