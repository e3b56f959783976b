import { takeResults } from '../features/tests/advance-test.ts'
import type { SeriesInsert } from '../features/tests/exposure-queries.ts'
import { readTest } from '../features/tests/queries.ts'
import { recordTest } from '../features/tests/record-test.ts'
import type { Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import { problem } from '../platform/http/problem.ts'
import { newId } from '../platform/ids.ts'
import { MAX_FAULTS } from './monitor-file/fault.ts'
import { type ReadRecord, readSteps } from './monitor-file/read-with.ts'
import type { Reading } from './monitor-file/reading.ts'
import { finishedInTurns } from './monitor-file/steps.ts'
import type { RecordTarget } from './record-schemas.ts'

/** Reads the file with its settled reading, before any transaction; 422 with every fault by line when it cannot be read. */
export async function readRecord(bytes: Buffer, reading: Reading): Promise<ReadRecord> {
  const outcome = await finishedInTurns(readSteps(bytes, reading))
  if (outcome.ok) return outcome
  throw problem(
    422,
    'unreadable-file',
    `The file cannot be read as told: ${outcome.faultCount} faults; nothing was saved.`,
    outcome.faults.slice(0, MAX_FAULTS).map(({ line, code, problem: what, remedy, content }) => ({
      pointer: line === null ? '/reading' : `/lines/${line}`,
      code,
      detail: `${line === null ? '' : `Line ${line}: `}${what} ${remedy}${content ? ` It reads: ${content}` : ''}`,
    })),
  )
}

/** Puts a record where it belongs: a new test of a home, or an exposure that waited for it. Gives test and home. */
export async function commitRecord(
  tx: Tx,
  act: Act,
  importId: string,
  record: ReadRecord,
  kept: { readonly reading: Reading; readonly fileSha256: Buffer },
  target: RecordTarget,
): Promise<{ readonly testId: string; readonly propertyId: string }> {
  const series: SeriesInsert = {
    id: newId(),
    ...record.series,
    side: record.side.length > 0 ? record.side : null,
    ...kept,
  }
  if ('testId' in target) {
    const { testId, exposureId, version } = target
    const results = { resultInAt: act.now, reason: target.reason, results: [{ exposureId }] }
    await takeResults(tx, act, testId, version, results, new Map([[exposureId, series]]))
    return { testId, propertyId: (await readTest(tx, act, testId)).propertyId }
  }
  const { propertyId, exposure, ...test } = target
  const { testId } = await recordTest(tx, act, propertyId, {
    ...test,
    method: 'continuous-monitor',
    resultInAt: act.now,
    exposures: [{ role: 'measurement', ...exposure }],
    importBatchId: importId,
    readSeries: new Map([[0, series]]),
  })
  return { testId, propertyId }
}
