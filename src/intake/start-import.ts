import { createHash } from 'node:crypto'
import type { Db, Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import { problem } from '../platform/http/problem.ts'
import type { UploadedFile } from '../platform/http/upload-body.ts'
import type { Jobs } from '../platform/jobs/queue.ts'
import { commitOrQueue, type PreparedCommit, prepareCommit } from './commit-import.ts'
import type { ToldHomes } from './homes-table/propose-homes.ts'
import { refuseUnlessOfEverybody } from './homes-table/refuse-unsettled.ts'
import { earlierImport, readImport } from './import-queries.ts'
import type { ImportKind } from './import-rows.ts'
import { keepImport } from './keep-import.ts'
import type { Told } from './monitor-file/open-reading.ts'
import type { ReadRecord } from './monitor-file/read-with.ts'
import { presentImport } from './present-import.ts'
import {
  keptReadingOf,
  type ProposedImport,
  proposeHomesTable,
  proposeMonitorRecord,
  proposeResultsTable,
  toldByName,
} from './propose-import.ts'
import type { ToldTable } from './results-table/propose-table.ts'
import type { CommitBody } from './schemas.ts'

export type ImportToStart = {
  readonly file: UploadedFile
  readonly kind: ImportKind
  readonly propertyId?: string
  readonly savedReading?: string
  readonly told?: Told | ToldTable | ToldHomes
  readonly commit?: CommitBody
}

/** A file read and, where asked, made ready to commit: all that is slow, before the transaction. */
export type StartedImport = {
  readonly file: UploadedFile
  readonly propertyId: string | null
  readonly proposal: ProposedImport
  readonly commit: PreparedCommit | null
}

export async function prepareImport(db: Db, act: Act, input: ImportToStart): Promise<StartedImport> {
  const { file, kind, propertyId = null } = input
  const { bytes } = file
  const proposal = await proposalFor(db, act, input)
  refuseWhatIsNoFileOfIts(proposal)
  const kept = {
    kind,
    bytes,
    fileSha256: createHash('sha256').update(bytes).digest(),
    reading: keptReadingOf(proposal),
    record: settledRecord(proposal),
  }
  const commit = input.commit ? await prepareCommit(db, act, kept, input.commit) : null
  return { file, propertyId, proposal, commit }
}

async function proposalFor(db: Db, act: Act, input: ImportToStart): Promise<ProposedImport> {
  const { kind, propertyId = null, savedReading, told = {}, file } = input
  if (kind === 'results-table') return proposeResultsTable(db, act, file.bytes, told as ToldTable)
  if (kind === 'homes-table') {
    refuseUnlessOfEverybody(act)
    const saved = savedReading ? await toldByName(db, kind, savedReading) : {}
    return proposeHomesTable(db, act, file.bytes, { ...saved, ...(told as ToldHomes) })
  }
  const saved = savedReading ? await toldByName(db, kind, savedReading) : {}
  return proposeMonitorRecord(db, act, file.bytes, propertyId, { ...saved, ...(told as Told) })
}

/** The record of a proposal that leaves nothing to ask: it is what a commit of the proposed reading would read again. */
const settledRecord = ({ kind, proposed }: ProposedImport): ReadRecord | null =>
  kind === 'monitor-record' && proposed.ok && proposed.questions.length === 0 ? proposed.record : null

/** A workbook, a picture, an empty file: nothing to ask about, so it is not kept. */
function refuseWhatIsNoFileOfIts({ proposed }: ProposedImport): void {
  if (proposed.ok) return
  const [fault] = proposed.faults
  const errors = proposed.faults.map(({ line, code, problem: what, remedy }) => ({
    pointer: line === null ? '/file' : `/lines/${line}`,
    code,
    detail: `${what} ${remedy}`,
  }))
  const [status, kind] = fault?.code === 'too-large' ? [413, 'body-too-large'] : [422, 'unreadable-file']
  throw problem(status, kind, 'The file cannot be read; nothing was kept.', errors)
}

/** Keeps the file and its proposal, commits it when that was asked, and gives the import as the API shows it. */
export async function keepStarted(tx: Tx, act: Act, jobs: Jobs, started: StartedImport) {
  const { file, propertyId, proposal, commit } = started
  const upload = { bytes: file.bytes, fileName: file.fileName, mediaType: file.type }
  const id = await keepImport(tx, act, upload, propertyId, proposal)
  if (commit) return presentImport(await commitOrQueue(tx, act, jobs, id, commit), proposal, null)
  const batch = await readImport(tx, act, id)
  return presentImport(batch, proposal, await earlierImport(tx, batch.fileSha256, batch.kind, id))
}
