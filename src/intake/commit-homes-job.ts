import type { Actor } from '../platform/auth/actor.ts'
import type { Db, Tx } from '../platform/db/client.ts'
import { type Act, recordWrite } from '../platform/db/record-write.ts'
import type { Deps } from '../platform/deps.ts'
import { Problem } from '../platform/http/problem.ts'
import type { JobHandler } from '../platform/jobs/queue.ts'
import { commitHomes } from './homes-table/commit-homes.ts'
import { compareHomes, prepareHomes } from './homes-table/try-homes.ts'
import { endProgress, stepProgress } from './import-progress.ts'
import { importToChange, markCommitted, markNotWritten, readImport, readImportedFile } from './import-queries.ts'
import type { ImportBatch } from './import-rows.ts'
import { openSheets } from './table/open-sheets.ts'
import { writeAlone } from './take-up-imports.ts'

type Committing = Pick<Deps, 'db' | 'clock' | 'log'>
const system: Actor = { kind: 'system', id: null }

class Stopped extends Error {}

/**
 * Writes a table of homes in the background: all of it or nothing. A run that dies leaves the import committing and is
 * begun again (take-up-imports.ts); a second run comes back later and finds it done.
 */
export const commitHomesJob =
  ({ db, clock, log }: Committing): JobHandler =>
  async (payload, requestId) => {
    const { importId, actor } = payload as { importId: string; actor: Actor }
    const act: Act = { actor, now: clock.now(), requestId }
    const batch = await readImport(db, { actor: system, now: act.now }, importId)
    if (batch.state !== 'committing') return
    const wasFree = await writeAlone(db, importId, () => writeOrTellWhyNot({ db, clock, log }, act, batch))
    if (!wasFree) throw new Error('another process is writing this import')
  }

async function writeOrTellWhyNot({ db, clock, log }: Committing, act: Act, batch: ImportBatch): Promise<void> {
  const importId = batch.id
  try {
    await write(db, act, batch, clock)
  } catch (error) {
    if (!(error instanceof Problem) && !(error instanceof Stopped)) throw error
    log.warn({ importId, err: error }, 'an import was not written')
    await markNotWritten(db, importId, error instanceof Stopped ? 'It was stopped; nothing was saved.' : error.message)
  }
  await endProgress(db, importId)
}

async function write(db: Deps['db'], act: Act, batch: ImportBatch, clock: Deps['clock']): Promise<void> {
  const { reading: kept, id } = batch
  if (kept.kind !== 'homes-table' || !kept.reading) throw new Problem(422, 'unanswered', 'The table has no reading.')
  const { reading } = kept
  await progressOf(db, id, clock)(0, 0)
  const sheets = await openSheets(await readImportedFile(db, batch.fileSha256), reading.delimiter)
  if (!sheets.ok) throw new Problem(422, 'unreadable-file', sheets.fault.problem)
  const prepared = await prepareHomes(db, act, sheets.opened, reading)
  // Locates the addresses, which would keep the transaction waiting.
  await compareHomes(db, act, prepared, reading)
  await db.transaction(async tx => {
    const held = await importToChange(tx, { actor: system, now: act.now }, id, null)
    if (held.state !== 'committing') return
    const homes = await commitHomes(tx, act, id, prepared, reading, progressOf(db, id, clock))
    const summary = { made: homes.fresh + homes.added, same: homes.same, homesTakenUp: [], homes }
    await markCommitted(tx, act.now, id, { summary, testId: null, propertyId: null, reading: kept })
    await recordCommit(tx, act, held)
  })
}

const progressOf = (db: Db, id: string, clock: Deps['clock']) => async (done: number, total: number) => {
  if (await stepProgress(db, id, done, total, clock.now())) throw new Stopped()
}

const recordCommit = (tx: Tx, act: Act, { id, version }: ImportBatch) =>
  recordWrite(tx, act, { action: 'correct', noun: 'import', id, version: version + 1, fields: ['state'] })
