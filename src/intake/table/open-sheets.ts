import { type Fault, Unreadable } from '../monitor-file/fault.ts'
import type { Delimiter } from '../monitor-file/split-line.ts'
import { openWorkbook } from './open-workbook.ts'
import { MAX_TABLE_BYTES, openTextTable, type Sheets } from './sheets.ts'

export type OpenedSheets =
  | { readonly ok: true; readonly opened: Sheets }
  | { readonly ok: false; readonly fault: Fault }

const ZIP = '504b0304'
const OLD_WORKBOOK = 'd0cf11e0'

/** The sheets of a table: of a workbook, or the one of a text file; or why it is neither. */
export async function openSheets(bytes: Buffer, delimiter?: Delimiter | null): Promise<OpenedSheets> {
  try {
    return { ok: true, opened: await sheetsIn(bytes, delimiter ?? undefined) }
  } catch (error) {
    if (error instanceof Unreadable) return { ok: false, fault: error.fault }
    throw error
  }
}

async function sheetsIn(bytes: Buffer, delimiter: Delimiter | undefined): Promise<Sheets> {
  const start = bytes.subarray(0, 4).toString('hex')
  if (start === ZIP && bytes.length <= MAX_TABLE_BYTES) return openWorkbook(bytes)
  if (start === OLD_WORKBOOK)
    throw new Unreadable({
      code: 'not-text',
      line: null,
      content: '',
      problem: 'This is a workbook of the old kind (.xls), or one protected by a password.',
      remedy: 'Open it and save it as a workbook (.xlsx) or as CSV, then choose that file.',
    })
  return openTextTable(bytes, delimiter)
}
