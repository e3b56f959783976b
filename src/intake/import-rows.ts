import type { HomesCounts } from './homes-table/home-counts.ts'
import type { HomesReading } from './homes-table/homes-reading.ts'
import type { KeptLook } from './homes-table/kept-look.ts'
import type { ToldHomes } from './homes-table/propose-homes.ts'
import type { Told } from './monitor-file/open-reading.ts'
import type { Reading } from './monitor-file/reading.ts'
import type { ToldTable } from './results-table/propose-table.ts'
import type { TableReading } from './results-table/table-reading.ts'

export type ImportKind = 'monitor-record' | 'results-table' | 'homes-table'
export type ImportState = 'proposed' | 'committing' | 'committed' | 'undone'

/** What was told of a file, and with it the reading proposed. */
export type KeptReading =
  | { readonly kind: 'monitor-record'; readonly reading: Reading | null; readonly told: Told }
  | { readonly kind: 'results-table'; readonly reading: TableReading | null; readonly told: ToldTable }
  | {
      readonly kind: 'homes-table'
      readonly reading: HomesReading | null
      readonly told: ToldHomes
      readonly look?: KeptLook | null
    }

/** What a committed import made. */
export type ImportSummary = {
  readonly made: number
  readonly same: number
  /** Of a table of results; a table of homes keeps what it made in a table of its own. */
  readonly homesTakenUp: readonly string[]
  readonly homes?: HomesSummary
  /** What an undoing left, and why. */
  readonly left?: readonly LeftHome[]
}
export type HomesSummary = HomesCounts
export type LeftHome = { readonly propertyId: string; readonly address: string; readonly why: string }

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
  /** Why an import that was begun was not written. */
  readonly failure: string
}
