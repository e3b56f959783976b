import type { Db, Tx } from '../platform/db/client.ts'
import { type Act, recordWrite } from '../platform/db/record-write.ts'
import { problem } from '../platform/http/problem.ts'
import { instantText } from '../platform/http/scalars.ts'
import type { Jobs } from '../platform/jobs/queue.ts'
import { commitRecord, readRecord } from './commit-record.ts'
import { commitTable, settleTable } from './commit-table.ts'
import { type HomesReading, mappingOf } from './homes-table/homes-reading.ts'
import { refuseUnsettled } from './homes-table/refuse-unsettled.ts'
import { beginProgress } from './import-progress.ts'
import {
  earlierImport,
  importToChange,
  lockImportsOfFile,
  markCommitted,
  markCommitting,
  readImportedFile,
  updateImportReading,
} from './import-queries.ts'
import type { ImportBatch, ImportSummary, KeptReading } from './import-rows.ts'
import { refuseUnlessProposed } from './keep-import.ts'
import type { ReadRecord } from './monitor-file/read-with.ts'
import type { Reading } from './monitor-file/reading.ts'
import { finishedInTurns } from './monitor-file/steps.ts'
import { keptReadingOf, proposeHomesTable } from './propose-import.ts'
import { readTableSteps } from './results-table/read-table.ts'
import type { TableReading } from './results-table/table-reading.ts'
import { openTableParts } from './results-table/table-reading.ts'
import { lastingPartOf, saveReading } from './saved-readings.ts'
import type { CommitBody } from './schemas.ts'
import { writingKey } from './take-up-imports.ts'
import { compareTable } from './try-table.ts'

type Done = {
  readonly summary: ImportSummary
  readonly testId: string | null
  readonly propertyId: string | null
  readonly reading: KeptReading
}
/**
 * Everything slow is done: what remains is the writing, in one transaction; or, of a table of homes, to have it written
 * in the background.
 */
export type PreparedCommit = { readonly again: boolean } & (
  | { readonly write: (tx: Tx, importId: string) => Promise<Done> }
  | { readonly begin: (tx: Tx, importId: string) => Promise<void> }
)

const wrongKind = () => problem(422, 'wrong-kind', 'What was sent does not fit the kind of this import.')
type File = Pick<ImportBatch, 'kind' | 'fileSha256' | 'reading'> & {
  readonly bytes: Buffer
  /** What the kept reading makes of the file, where that is known already. */
  readonly record?: ReadRecord | null
}

/** Reads the file as told, outside any transaction; throws 422 with every fault when it cannot be read. */
export async function prepareCommit(db: Db, act: Act, file: File, body: CommitBody): Promise<PreparedCommit> {
  if (file.kind === 'monitor-record') return prepareRecord(act, file, body)
  return file.kind === 'results-table' ? prepareTable(db, act, file, body) : prepareHomesCommit(db, act, file, body)
}

async function prepareRecord(act: Act, file: File, body: CommitBody): Promise<PreparedCommit> {
  if (file.reading.kind !== 'monitor-record' || !('target' in body)) throw wrongKind()
  const { told } = file.reading
  const reading = (body.reading as Reading | undefined) ?? file.reading.reading
  if (!reading) throw problem(422, 'unreadable-file', 'No reading of this file could be proposed: send one.')
  const record = (!body.reading && file.record) || (await readRecord(file.bytes, reading))
  return {
    again: body.again,
    write: async (tx, importId) => {
      const kept = { reading, fileSha256: file.fileSha256 }
      const { testId, propertyId } = await commitRecord(tx, act, importId, record, kept, body.target)
      if (body.saveReadingAs) await saveReading(tx, act, 'monitor-record', body.saveReadingAs, lastingPartOf(reading))
      const summary = { made: 1, same: 0, homesTakenUp: [] }
      return { summary, testId, propertyId, reading: { kind: 'monitor-record', told, reading } }
    },
  }
}

async function prepareTable(db: Db, act: Act, file: File, body: CommitBody): Promise<PreparedCommit> {
  if (file.reading.kind !== 'results-table' || 'target' in body) throw wrongKind()
  const { told } = file.reading
  const reading = (body.reading as TableReading | undefined) ?? file.reading.reading
  const open = reading ? openTableParts(reading) : ['reading']
  if (!reading || open.length > 0) throw leftOpen(open)
  const read = await finishedInTurns(readTableSteps(file.bytes, reading))
  const settled = await settleTable(await compareTable(db, act, read, reading), reading)
  return {
    again: body.again,
    write: async (tx, importId) => {
      const summary = await commitTable(tx, act, importId, { read, settled, reading })
      return { summary, testId: null, propertyId: null, reading: { kind: 'results-table', told, reading } }
    },
  }
}

const leftOpen = (open: readonly string[]) =>
  problem(
    422,
    'unanswered',
    'The table leaves open what nobody has told; nothing was saved.',
    open.map(part => ({
      pointer: `/reading/${part}`,
      code: 'unanswered',
      detail: `The table does not say the ${part}: tell it`,
    })),
  )

/** Holds a table of homes against the record once more, and refuses it at once where it could not be written. */
async function prepareHomesCommit(db: Db, act: Act, file: File, body: CommitBody): Promise<PreparedCommit> {
  if (file.reading.kind !== 'homes-table' || 'target' in body) throw wrongKind()
  const told = body.reading ? (body.reading as HomesReading) : file.reading.told
  const proposal = await proposeHomesTable(db, act, file.bytes, told)
  if (proposal.kind !== 'homes-table' || !proposal.proposed.ok) throw leftOpen(['reading'])
  if (!proposal.dryRun) throw leftOpen(proposal.proposed.open)
  const { reading } = proposal.proposed
  refuseUnsettled(proposal.dryRun, reading)
  const name = 'saveReadingAs' in body ? body.saveReadingAs : undefined
  return {
    again: body.again,
    begin: async (tx, importId) => {
      if (name) await saveReading(tx, act, 'homes-table', name, mappingOf(reading))
      await updateImportReading(tx, importId, keptReadingOf(proposal))
      await markCommitting(tx, importId)
      await beginProgress(tx, importId, act.now)
    },
  }
}

/** Writes a prepared import, once: the same bytes a second time are refused and told when they came. */
export async function commitImport(
  tx: Tx,
  act: Act,
  id: string,
  version: number | null,
  prepared: PreparedCommit,
): Promise<ImportBatch> {
  const batch = await importToChange(tx, act, id, version)
  refuseUnlessProposed(batch)
  await lockImportsOfFile(tx, batch.fileSha256)
  const earlier = await earlierImport(tx, batch.fileSha256, batch.kind, id)
  if (earlier && !prepared.again)
    throw problem(
      409,
      'already-imported',
      `Already imported on ${instantText(earlier.committedAt)}, 0 new. Undo that import first, or say “again”.`,
    )
  if ('begin' in prepared) {
    await prepared.begin(tx, id)
    return importToChange(tx, act, id, null)
  }
  const done = await prepared.write(tx, id)
  await markCommitted(tx, act.now, id, done)
  await recordWrite(tx, act, {
    action: 'correct',
    noun: 'import',
    id,
    propertyId: done.propertyId,
    version: batch.version + 1,
    fields: ['state'],
  })
  return { ...batch, ...done, state: 'committed', committedAt: act.now, version: batch.version + 1 }
}

/** The bytes and readings of a batch that is about to be committed. */
export const fileOf = async (db: Db, batch: ImportBatch): Promise<File> => ({
  ...batch,
  bytes: await readImportedFile(db, batch.fileSha256),
})

/** Commits a prepared import; what is to be written in the background is handed to the queue in the same transaction. */
export async function commitOrQueue(
  tx: Tx,
  act: Act,
  jobs: Jobs,
  id: string,
  prepared: PreparedCommit,
): Promise<ImportBatch> {
  const batch = await commitImport(tx, act, id, null, prepared)
  if (batch.state === 'committing') await queueCommit(tx, act, jobs, id)
  return batch
}

/** Has an import of homes that is committing written in the background. */
export const queueCommit = (tx: Tx, { actor, requestId }: Act, jobs: Jobs, id: string) =>
  jobs.enqueue(tx, 'commit-homes', { importId: id, actor }, { key: writingKey(id), requestId })
