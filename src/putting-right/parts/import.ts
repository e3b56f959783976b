import type { KeptReading } from '../../intake/import-rows.ts'
import { keepReadingAgain } from '../../intake/keep-import.ts'
import type { NounParts } from '../record-parts.ts'

export const importParts: NounParts = {
  table: 'import_batch',
  fields: {
    reading: { value: 'reading', since: 'The file was read once more since: undo that first.' },
  },
  async putBack(tx, act, records, reason) {
    for (const { id, was } of records) await keepReadingAgain(tx, act, id, was.reading as KeptReading, reason)
  },
}
