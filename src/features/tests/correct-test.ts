import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite } from '../../platform/db/record-write.ts'
import { stale } from '../../platform/http/problem.ts'
import { type Restood, restand } from '../../standing/restand.ts'
import { contradictionsOf } from './contradictions.ts'
import { strangersTo } from './exposure-queries.ts'
import { lockTest, markTestAccepted, markTestVoided, updateTest } from './queries.ts'
import { refuse } from './record-test.ts'
import type { TestColumns, TestRow } from './rows.ts'
import type { TestCorrection } from './schemas.ts'

/** Reads a test that is about to change and holds it; throws 412 when the caller knew another version. */
export async function testToChange(tx: Tx, act: Act, testId: string, version: number): Promise<TestRow> {
  const test = await lockTest(tx, act, testId)
  if (test.version !== version) throw stale(test.version)
  return test
}

/** Corrects facts of a test; the old values stay with who, when and why. */
export async function correctTest(
  tx: Tx,
  act: Act,
  testId: string,
  version: number,
  { reason, ...correction }: TestCorrection,
): Promise<Restood> {
  const was = await testToChange(tx, act, testId, version)
  const now = corrected(was, correction)
  refuse([
    ...contradictionsOf(now, act.now),
    ...(
      await strangersTo(tx, was.propertyId, {
        locations: [],
        devices: [],
        systems: correction.systemId ? [correction.systemId] : [],
        tests: correction.followsTestId ? [correction.followsTestId] : [],
      })
    ).map(({ kind, id }) => ({
      pointer: kind === 'system' ? '/systemId' : '/followsTestId',
      code: 'unknown-reference',
      detail: `There is no ${kind} ${id} at this home: use one that is listed there`,
    })),
  ])
  return saveChange(tx, act, was, now, { fields: Object.keys(correction), reason })
}

/** Saves changed columns with the revision of the old ones, and re-stands the home. */
export async function saveChange(
  tx: Tx,
  act: Act,
  was: TestRow,
  now: TestColumns,
  what: { fields: readonly string[]; reason?: string },
): Promise<Restood> {
  await updateTest(tx, act.now, was.id, now)
  const { evaluation: _, evaluationTag: __, ...kept } = was
  await recordWrite(tx, act, {
    action: 'correct',
    noun: 'test',
    id: was.id,
    propertyId: was.propertyId,
    version: was.version + 1,
    fields: what.fields,
    was: kept,
    reason: what.reason ?? '',
  })
  return restand(tx, act, was.propertyId)
}

// What is not named stays; null clears to unknown.
const corrected = (was: TestColumns, correction: Omit<TestCorrection, 'reason'>): TestColumns => ({
  ...was,
  ...Object.fromEntries(Object.entries(correction).filter(([, value]) => value !== undefined)),
})

/** Takes a test out of the reckoning; it stays in the history, struck through. */
export async function voidTest(tx: Tx, act: Act, testId: string, version: number, reason: string): Promise<Restood> {
  const was = await testToChange(tx, act, testId, version)
  await markTestVoided(tx, act.now, testId, reason)
  await recordWrite(tx, act, {
    action: 'void',
    noun: 'test',
    id: testId,
    propertyId: was.propertyId,
    version: version + 1,
    reason,
  })
  return restand(tx, act, was.propertyId)
}

/** The office has looked at the result and stands by it. */
export async function acceptResult(tx: Tx, act: Act, testId: string, version: number): Promise<Restood> {
  const was = await testToChange(tx, act, testId, version)
  if (was.resultInAt === null)
    refuse([{ pointer: '', code: 'no-result', detail: 'There is no result to accept yet: enter it first' }])
  await markTestAccepted(tx, act.now, testId, act.actor.kind === 'staff' ? act.actor.id : null)
  await recordWrite(tx, act, {
    action: 'correct',
    noun: 'test',
    id: testId,
    propertyId: was.propertyId,
    version: version + 1,
    fields: ['acceptedAt'],
  })
  return restand(tx, act, was.propertyId)
}
