import { voidHomes } from '../features/properties/correct-property.ts'
import { voidTests } from '../features/tests/correct-test.ts'
import type { Tx } from '../platform/db/client.ts'
import { type Act, recordWrite } from '../platform/db/record-write.ts'
import { problem } from '../platform/http/problem.ts'
import { holdHomes, restandHomes } from '../standing/restand.ts'
import { unusedHomes } from './home-queries.ts'
import { undoHomes } from './homes-table/undo-homes.ts'
import { importToChange, markUndone, testsOfImport } from './import-queries.ts'
import type { ImportBatch } from './import-rows.ts'

/** Takes back what an import made: its tests, and the homes it took up that nothing else has touched since. */
export async function undoImport(tx: Tx, act: Act, id: string, version: number): Promise<ImportBatch> {
  const batch = await importToChange(tx, act, id, version)
  if (batch.state !== 'committed') throw problem(409, `import-${batch.state}`, 'Only a committed import can be undone.')
  const reason = `the import of ${batch.fileName} was undone`
  if (batch.kind === 'homes-table') {
    const left = await undoHomes(tx, act, id, reason)
    await markUndone(tx, act.now, id, batch.summary && { ...batch.summary, left })
  } else await undoTests(tx, act, batch, reason)
  await recordWrite(tx, act, {
    action: 'void',
    noun: 'import',
    id,
    propertyId: batch.propertyId,
    version: version + 1,
    reason,
  })
  return importToChange(tx, act, id, null)
}

async function undoTests(tx: Tx, act: Act, batch: ImportBatch, reason: string): Promise<void> {
  const tests = await testsOfImport(tx, batch.id)
  if (tests.length === 0 && batch.kind === 'monitor-record' && batch.testId !== null)
    throw problem(409, 'not-undoable', 'The record was the result of a test that was there before: correct that test.')
  const homes = await voidTests(tx, act, tests, reason)
  const takenUp = batch.summary?.homesTakenUp ?? []
  await holdHomes(tx, [...homes, ...takenUp])
  const unused = await unusedHomes(tx, takenUp)
  await voidHomes(tx, act, unused, reason)
  await restandHomes(tx, act, [...new Set([...homes, ...unused.map(home => home.id)])])
  await markUndone(tx, act.now, batch.id, batch.summary)
}
