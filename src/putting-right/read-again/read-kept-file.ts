import { readRecord } from '../../intake/commit-record.ts'
import { refuseBadRows } from '../../intake/commit-table.ts'
import { readImportedFile } from '../../intake/import-queries.ts'
import type { ImportBatch, KeptReading } from '../../intake/import-rows.ts'
import type { ReadRecord } from '../../intake/monitor-file/read-with.ts'
import type { Reading } from '../../intake/monitor-file/reading.ts'
import { finishedInTurns } from '../../intake/monitor-file/steps.ts'
import type { ReadRow } from '../../intake/results-table/read-result-row.ts'
import { readTableSteps } from '../../intake/results-table/read-table.ts'
import type { TableReading } from '../../intake/results-table/table-reading.ts'
import type { Db } from '../../platform/db/client.ts'
import { problem } from '../../platform/http/problem.ts'
import { readingAgain, type ToldAgain } from './told-again.ts'

/** A kept file read again, with what it said when it was saved. */
export type FileAgain = { readonly batch: ImportBatch; readonly kept: KeptReading } & (
  | { readonly kind: 'monitor-record'; readonly record: ReadRecord; readonly reading: Reading }
  | { readonly kind: 'results-table'; readonly before: readonly ReadRow[]; readonly after: readonly ReadRow[] }
)

/** Reads the file of a committed import as told; throws 422 with every fault by line when it can not be read so. */
export async function readKeptFile(db: Db, batch: ImportBatch, told: ToldAgain): Promise<FileAgain> {
  if (batch.state !== 'committed')
    throw problem(409, `import-${batch.state}`, 'Only a committed import can be read again.')
  const kept = readingAgain(batch.reading, told)
  if (!kept.reading || !batch.reading.reading) throw new Error(`the import ${batch.id} was committed without a reading`)
  const bytes = await readImportedFile(db, batch.fileSha256)
  if (kept.kind === 'monitor-record') {
    const reading = kept.reading
    return { batch, kept, kind: kept.kind, reading, record: await readRecord(bytes, reading) }
  }
  const [before, after] = [
    await rowsOf(bytes, batch.reading.reading as TableReading),
    await rowsOf(bytes, kept.reading as TableReading),
  ]
  refuseBadRows({ bad: after.badLines, faults: after.faults })
  return { batch, kept, kind: 'results-table', before: before.rows, after: after.rows }
}

const rowsOf = (bytes: Buffer, reading: TableReading) => finishedInTurns(readTableSteps(bytes, reading))
