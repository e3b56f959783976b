import type { RowFault } from '../table/row-fault.ts'
import type { Double } from './find-doubles.ts'
import type { HomesCounts } from './home-counts.ts'
import { MOST_LISTED } from './home-facts.ts'
import type { HomesProposed } from './propose-homes.ts'
import type { RowsRead } from './read-homes.ts'

/** A table that was read and held against the record, as it is looked at: what a commit of it would do. */
export type HomesLook = Pick<RowsRead, 'remarks' | 'skipped' | 'dittos'> & {
  readonly counts: HomesCounts
  readonly faults: readonly RowFault[]
  /** How many bad cells there are, where not all are at hand. */
  readonly faultCells: number
  /** The first of them, those first that nobody has decided on. */
  readonly doubles: readonly Double[]
}

/** The same, kept with the import: a book of 12,000 homes takes seconds to read and compare. */
export type KeptLook = {
  readonly at: number
  /** How many imports had been committed and undone then: another one makes it old. */
  readonly imports: number
  readonly proposed: Extract<HomesProposed, { ok: true }>
  readonly dryRun: HomesLook
}

/** As long as a day that lies ahead can become one that has come. */
const KEPT_FOR = 12 * 3_600_000

/** What is kept of a look; null while something is open, for then nothing was compared. */
export function keptLookOf(
  proposed: HomesProposed,
  dryRun: HomesLook | null,
  at: number,
  imports: number,
): KeptLook | null {
  if (!proposed.ok || !dryRun) return null
  const { counts, faults, faultCells, remarks, skipped, dittos, doubles } = dryRun
  const some = {
    ...{ counts, faultCells, dittos },
    faults: faults.slice(0, MOST_LISTED),
    remarks: remarks.slice(0, MOST_LISTED),
    skipped: skipped.slice(0, MOST_LISTED),
    doubles: undecidedFirst(doubles).slice(0, MOST_LISTED),
  }
  return asText({ at, imports, proposed, dryRun: some })
}

/** Pairs nobody has decided on come first. */
export const undecidedFirst = (doubles: readonly Double[]): readonly Double[] => [
  ...doubles.filter(({ said }) => said === null),
  ...doubles.filter(({ said }) => said !== null),
]

/** As the database can keep it: it knows neither U+0000 nor half a character. */
const asText = (look: KeptLook): KeptLook =>
  JSON.parse(
    JSON.stringify(look, (_, value: unknown) =>
      typeof value === 'string' ? value.replaceAll('\0', '').toWellFormed() : value,
    ),
  )

/** Whether a kept look may still be shown. Nothing is written from one: a commit compares anew. */
export const isFresh = (look: KeptLook, now: number, imports: number): boolean =>
  look.imports === imports && now >= look.at && now - look.at < KEPT_FOR
