import { type Entry, fromBufferPromise, type ZipFile } from 'yauzl'
import { type Fault, Unreadable } from '../monitor-file/fault.ts'
import { attribute, marksOf, roughFormats, type SheetMarks, tagsOf } from './sheet-marks.ts'

/** More than this unpacked is no book of homes: a small file that unpacks to gigabytes fills the memory. */
const MOST_UNPACKED = 256 * 1024 * 1024
const MOST_PARTS = 2_000
const SAVE_AS = 'Open it and save it as a workbook (.xlsx) or as CSV, then choose that file.'

const refuse = (code: Fault['code'], problem: string, remedy = SAVE_AS) =>
  new Unreadable({ code, line: null, content: '', problem, remedy })

/** What a workbook says beside the values of its cells. */
export type WorkbookMarks = {
  readonly sheets: ReadonlyMap<string, SheetMarks>
  /** How its days are counted; `true` is another way to write the standard's `1`. */
  readonly since1904: 'no' | '1' | 'true'
}

/** Looks into a workbook before it is read: refuses what is none or unpacks to too much; gives the marks of its sheets. */
export async function workbookParts(bytes: Buffer): Promise<WorkbookMarks> {
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
  const workbook = await text('xl/workbook.xml')
  const rough = roughFormats(await text('xl/styles.xml'))
  const sheets = new Map<string, SheetMarks>()
  for (const tag of tagsOf(workbook, 'sheet')) {
    const target = (targets.get(attribute(tag, 'r:id')) ?? '').replace(/^\/?xl\//, '')
    sheets.set(attribute(tag, 'name'), marksOf(await text(`xl/${target}`), rough))
  }
  const counted = attribute(tagsOf(workbook, 'workbookPr')[0] ?? '', 'date1904')
  return { sheets, since1904: counted === '1' || counted === 'true' ? counted : 'no' }
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
