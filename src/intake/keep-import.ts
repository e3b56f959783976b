import { insertFile } from '../features/documents/file-queries.ts'
import type { Tx } from '../platform/db/client.ts'
import { type Act, recordWrite } from '../platform/db/record-write.ts'
import { problem } from '../platform/http/problem.ts'
import { newId } from '../platform/ids.ts'
import { importToChange, insertImport, updateImportReading } from './import-queries.ts'
import type { ImportBatch, KeptReading } from './import-rows.ts'
import { keptWhileWaiting, type ProposedImport } from './propose-import.ts'

export type UploadedFile = { readonly bytes: Buffer; readonly fileName: string; readonly mediaType: string }

/** Keeps a file by its hash and the proposal made for it; nothing of a home changes yet. */
export async function keepImport(
  tx: Tx,
  act: Act,
  file: UploadedFile,
  propertyId: string | null,
  proposal: ProposedImport,
): Promise<string> {
  const fileSha256 = await insertFile(tx, act.now, {
    bytes: file.bytes,
    mediaType: file.mediaType,
    name: file.fileName,
  })
  const id = newId()
  await insertImport(tx, act, {
    id,
    kind: proposal.kind,
    fileSha256,
    fileName: file.fileName,
    reading: keptWhileWaiting(proposal, act.now),
    propertyId,
  })
  await recordWrite(tx, act, { action: 'create', noun: 'import', id, propertyId, version: 1 })
  return id
}

/** Keeps what a person told of a file, with the reading it leads to. */
export async function keepTold(
  tx: Tx,
  act: Act,
  id: string,
  version: number,
  proposal: ProposedImport,
): Promise<ImportBatch> {
  const batch = await importToChange(tx, act, id, version)
  refuseUnlessProposed(batch)
  await updateImportReading(tx, id, keptWhileWaiting(proposal, act.now))
  await recordWrite(tx, act, {
    action: 'correct',
    noun: 'import',
    id,
    propertyId: batch.propertyId,
    version: version + 1,
    fields: ['reading'],
  })
  return importToChange(tx, act, id, null)
}

/** Keeps how a saved file is read by now; the reading before stays with who, when and why. */
export async function keepReadingAgain(tx: Tx, act: Act, id: string, reading: KeptReading, reason: string) {
  const batch = await importToChange(tx, act, id, null)
  await updateImportReading(tx, id, reading)
  await recordWrite(tx, act, {
    ...{ action: 'correct', noun: 'import', id, propertyId: batch.propertyId, version: batch.version + 1 },
    ...{ fields: ['reading'], was: { reading: batch.reading }, reason },
  })
}

const WHY_NOT = {
  committing: 'This import is being written; wait for it, or stop it.',
  committed: 'This import is committed already; undo it first.',
  undone: 'This import was undone; upload the file again.',
}

export function refuseUnlessProposed(batch: ImportBatch): void {
  if (batch.state === 'proposed') return
  throw problem(409, `import-${batch.state}`, WHY_NOT[batch.state])
}
