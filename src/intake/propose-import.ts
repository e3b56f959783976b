import type { Db } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import { problem } from '../platform/http/problem.ts'
import { seenHome } from '../standing/seen-home.ts'
import { type HomesLook, keptLookOf } from './homes-table/kept-look.ts'
import { type HomesProposed, proposeHomesSteps, type ToldHomes } from './homes-table/propose-homes.ts'
import { compareHomes, prepareHomes } from './homes-table/try-homes.ts'
import { companyZone, importsSettled } from './import-queries.ts'
import type { KeptReading } from './import-rows.ts'
import type { Told } from './monitor-file/open-reading.ts'
import { type Proposed, proposeSteps } from './monitor-file/propose-reading.ts'
import { finishedInTurns } from './monitor-file/steps.ts'
import { proposeTableSteps, type TableProposed, type ToldTable } from './results-table/propose-table.ts'
import { readSavedReading, type SavedKind, type SavedTold } from './saved-readings.ts'
import { openSheets } from './table/open-sheets.ts'
import { type TableDryRun, tryTable } from './try-table.ts'

export type ProposedImport =
  | { readonly kind: 'monitor-record'; readonly proposed: Proposed; readonly told: Told }
  | {
      readonly kind: 'results-table'
      readonly proposed: TableProposed
      readonly told: ToldTable
      readonly dryRun: TableDryRun | null
    }
  | {
      readonly kind: 'homes-table'
      readonly proposed: HomesProposed
      readonly told: ToldHomes
      readonly dryRun: HomesLook | null
      /** How many imports had been committed and undone when it was compared. */
      readonly imports: number
    }

/** The zone whose clock a monitor most likely showed: the home's, else the company's. */
const zoneFor = async (db: Db, act: Act, propertyId: string | null): Promise<string> =>
  propertyId === null ? companyZone(db) : (await seenHome(db, act, propertyId)).zone

/** Reads a monitor's file without saving anything. */
export async function proposeMonitorRecord(
  db: Db,
  act: Act,
  bytes: Buffer,
  propertyId: string | null,
  told: Told,
): Promise<ProposedImport> {
  const zone = await zoneFor(db, act, propertyId)
  return { kind: 'monitor-record', told, proposed: await finishedInTurns(proposeSteps(bytes, { zone, told })) }
}

/** Reads a table of results without saving anything; once nothing is open, says what a commit would do. */
export async function proposeResultsTable(db: Db, act: Act, bytes: Buffer, told: ToldTable): Promise<ProposedImport> {
  const proposed = await finishedInTurns(proposeTableSteps(bytes, told))
  const dryRun = proposed.ok && proposed.open.length === 0 ? await tryTable(db, act, bytes, proposed.reading) : null
  return { kind: 'results-table', told, proposed, dryRun }
}

/** Reads an old table of homes without saving anything; once nothing is open, says what a commit would do. */
export async function proposeHomesTable(db: Db, act: Act, bytes: Buffer, told: ToldHomes): Promise<ProposedImport> {
  const imports = await importsSettled(db)
  const sheets = await openSheets(bytes, told.delimiter)
  if (!sheets.ok)
    return { kind: 'homes-table', told, imports, proposed: { ok: false, faults: [sheets.fault] }, dryRun: null }
  const proposed = await finishedInTurns(proposeHomesSteps(sheets.opened, told))
  if (!proposed.ok || proposed.open.length > 0) return { kind: 'homes-table', told, imports, proposed, dryRun: null }
  const { reading } = proposed
  const dryRun = await compareHomes(db, act, await prepareHomes(db, act, sheets.opened, reading), reading)
  return { kind: 'homes-table', told, imports, proposed, dryRun }
}

/** Proposes again for a kept reading: same file, what was told of it. */
export function proposeKept(
  db: Db,
  act: Act,
  bytes: Buffer,
  propertyId: string | null,
  kept: KeptReading,
): Promise<ProposedImport> {
  if (kept.kind === 'monitor-record') return proposeMonitorRecord(db, act, bytes, propertyId, kept.told)
  if (kept.kind === 'results-table') return proposeResultsTable(db, act, bytes, kept.told)
  return proposeHomesTable(db, act, bytes, kept.told)
}

/** What a saved reading of this kind tells; 422 when there is none by that name. */
export async function toldByName<K extends SavedKind>(db: Db, kind: K, name: string): Promise<SavedTold[K]> {
  const saved = await readSavedReading(db, kind, name)
  if (!saved)
    throw problem(422, 'unknown-reference', 'There is no saved reading by this name.', [
      {
        pointer: '/savedReading',
        code: 'unknown-reference',
        detail: `There is no saved reading “${name}”: use one that is listed`,
      },
    ])
  return saved.reading as SavedTold[K]
}

/** What is kept of a proposal: what was told, and the reading it led to. */
export function keptReadingOf({ kind, told, proposed }: ProposedImport): KeptReading {
  return { kind, told, reading: proposed.ok ? proposed.reading : null } as KeptReading
}

/** The same while the import waits, with what was seen of a table of homes. */
export function keptWhileWaiting(proposal: ProposedImport, now: number): KeptReading {
  const kept = keptReadingOf(proposal)
  if (proposal.kind !== 'homes-table' || kept.kind !== 'homes-table') return kept
  const { proposed, dryRun, imports } = proposal
  return { ...kept, look: keptLookOf(proposed, dryRun, now, imports) }
}
