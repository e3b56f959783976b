import type { Told } from './monitor-file/open-reading.ts'
import type { Reading } from './monitor-file/reading.ts'
import type { ToldTable } from './results-table/propose-table.ts'
import type { TableReading } from './results-table/table-reading.ts'

export type ImportKind = 'monitor-record' | 'results-table'
export type ImportState = 'proposed' | 'committed' | 'undone'

/** What was told of a file, and with it the reading proposed. */
export type KeptReading =
  | { readonly kind: 'monitor-record'; readonly reading: Reading | null; readonly told: Told }
  | { readonly kind: 'results-table'; readonly reading: TableReading | null; readonly told: ToldTable }

/** What a committed import made. */
export type ImportSummary = {
  readonly made: number
  readonly same: number
  readonly homesTakenUp: readonly string[]
}

export type ImportBatch = {
  readonly id: string
  readonly kind: ImportKind
  readonly state: ImportState
  readonly fileSha256: Buffer
  readonly fileName: string
  readonly size: number
  readonly reading: KeptReading
  readonly summary: ImportSummary | null
  readonly propertyId: string | null
  readonly testId: string | null
  readonly actorKind: string
  readonly actorId: string | null
  readonly version: number
  readonly createdAt: number
  readonly committedAt: number | null
  readonly undoneAt: number | null
}
