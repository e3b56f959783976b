import type { z } from 'zod'
import type { homesProposalOut } from '../homes-schemas.ts'
import type { ProposedImport } from '../propose-import.ts'
import type { Double } from './find-doubles.ts'
import { undecidedFirst } from './kept-look.ts'

/** Cells and pairs listed in an answer; the file of bad rows holds all. */
const SHOWN = 200

/** A table of homes as it was read, for the API. */
export function presentHomes({
  proposed,
  dryRun,
}: Extract<ProposedImport, { kind: 'homes-table' }>): z.output<typeof homesProposalOut> {
  if (!proposed.ok)
    return { reading: null, questions: [], hints: [], rows: 0, columns: [], faults: [...proposed.faults], dryRun: null }
  return {
    reading: proposed.reading,
    questions: [...proposed.questions],
    hints: [...proposed.hints],
    rows: proposed.rows,
    columns: proposed.sheets.flatMap(sheet =>
      sheet.columns.map(({ index, name, role, examples }) => ({
        ...{ sheet: sheet.name, index, name, role },
        examples: [...examples],
      })),
    ),
    faults: [],
    dryRun: dryRun && {
      counts: dryRun.counts,
      faults: dryRun.faults.slice(0, SHOWN),
      remarks: dryRun.remarks.slice(0, SHOWN),
      skipped: dryRun.skipped.slice(0, SHOWN),
      doubles: undecidedFirst(dryRun.doubles).slice(0, SHOWN).map(presentDouble),
    },
  }
}

const presentDouble = ({ id, home, other, why, said }: Double) => ({
  ...{ id, why, said },
  line: home.rows[0]!.line,
  address: addressOf(home),
  owner: home.owner?.name ?? null,
  otherKind: other.kind,
  otherId: other.kind === 'record' ? other.home.id : null,
  otherLine: other.kind === 'file' ? other.home.rows[0]!.line : null,
  otherAddress: other.kind === 'file' ? addressOf(other.home) : other.home.address,
  otherOwner: other.kind === 'file' ? (other.home.owner?.name ?? null) : other.home.owner,
})

const addressOf = ({ address: { street, unit, city, postcode } }: Double['home']): string =>
  [street, unit, city, postcode].filter(part => part !== '').join(', ')
