import type { z } from 'zod'
import { instantText, instantTextOrNull } from '../platform/http/scalars.ts'
import { presentHomes } from './homes-table/present-homes.ts'
import type { ImportProgress } from './import-progress.ts'
import type { EarlierImport } from './import-queries.ts'
import type { ImportBatch } from './import-rows.ts'
import { chartPoints } from './monitor-file/preview-rows.ts'
import type { Proposed } from './monitor-file/propose-reading.ts'
import { COLUMN_ROLES } from './monitor-file/reading.ts'
import type { ProposedImport } from './propose-import.ts'
import type { recordProposalOut } from './record-schemas.ts'
import type { importOut } from './schemas.ts'
import type { tableProposalOut } from './table-schemas.ts'

type Out = z.output<typeof importOut>

/** An import without its proposal, as lists show it. */
export const presentBatch = (
  batch: ImportBatch,
): Omit<Out, 'record' | 'table' | 'homes' | 'progress' | 'alreadyImported'> => ({
  id: batch.id,
  kind: batch.kind,
  state: batch.state,
  fileName: batch.fileName,
  sha256: batch.fileSha256.toString('hex'),
  size: batch.size,
  propertyId: batch.propertyId,
  testId: batch.testId,
  summary: batch.summary && {
    ...batch.summary,
    homesTakenUp: [...batch.summary.homesTakenUp],
    left: batch.summary.left && [...batch.summary.left],
  },
  failure: batch.failure,
  version: batch.version,
  createdAt: instantText(batch.createdAt),
  committedAt: instantTextOrNull(batch.committedAt),
  undoneAt: instantTextOrNull(batch.undoneAt),
})

/** An import with what was read off its file. */
export const presentImport = (
  batch: ImportBatch,
  proposal: ProposedImport | null,
  earlier: EarlierImport | null,
  progress: ImportProgress | null = null,
): Out => ({
  ...presentBatch(batch),
  progress: batch.state === 'committing' ? { done: progress?.done ?? 0, total: progress?.total ?? 0 } : null,
  alreadyImported: earlier && {
    importId: earlier.id,
    committedAt: instantText(earlier.committedAt),
    said: `Already imported on ${instantText(earlier.committedAt)}, 0 new`,
  },
  record: proposal?.kind === 'monitor-record' ? presentRecord(proposal.proposed) : null,
  table: proposal?.kind === 'results-table' ? presentTable(proposal) : null,
  homes: proposal?.kind === 'homes-table' ? presentHomes(proposal) : null,
})

const NOTHING_READ = {
  reading: null,
  how: {},
  questions: [],
  sentence: [],
  notes: [],
  preview: [],
  points: [],
  readings: null,
  intervalS: null,
  startAt: null,
}

function presentRecord(proposed: Proposed): z.output<typeof recordProposalOut> {
  const columnRoles = [...COLUMN_ROLES]
  if (!proposed.ok)
    return { ...NOTHING_READ, faults: [...proposed.faults], faultCount: proposed.faults.length, columnRoles }
  const { record } = proposed
  return {
    reading: proposed.reading,
    how: Object.fromEntries(Object.entries(proposed.how)),
    questions: proposed.questions.map(question => ({ ...question, choices: [...question.choices] })),
    sentence: [...proposed.sentence],
    notes: [...proposed.notes],
    faults: [...proposed.faults],
    faultCount: proposed.faultCount,
    preview: proposed.preview.map(({ line, cells }) => ({ line, cells: [...cells] })),
    points: record ? chartPoints(record).map(({ at, value }) => ({ at: instantText(at), value })) : [],
    readings: record?.series.values.length ?? null,
    intervalS: record?.series.intervalS ?? null,
    startAt: instantTextOrNull(record?.series.startAt ?? null),
    columnRoles,
  }
}

/** Bad cells listed in an answer; the file of bad rows holds all. */
const FAULTS_SHOWN = 200

function presentTable({
  proposed,
  dryRun,
}: Extract<ProposedImport, { kind: 'results-table' }>): z.output<typeof tableProposalOut> {
  if (!proposed.ok)
    return { reading: null, questions: [], rows: 0, preview: [], faults: [...proposed.faults], dryRun: null }
  return {
    reading: proposed.reading,
    questions: [...proposed.questions],
    rows: proposed.rows,
    preview: proposed.preview.map(({ line, cells }) => ({ line, cells: [...cells] })),
    faults: [],
    dryRun: dryRun && {
      fresh: dryRun.fresh,
      same: dryRun.same,
      bad: dryRun.bad,
      homesToTakeUp: dryRun.homesToTakeUp,
      kitsAnswered: dryRun.kitsAnswered,
      faults: dryRun.faults.slice(0, FAULTS_SHOWN),
    },
  }
}
