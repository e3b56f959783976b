import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrite, recordWrites } from '../../platform/db/record-write.ts'
import { stale } from '../../platform/http/problem.ts'
import { type Restood, restand } from '../../standing/restand.ts'
import { contradictionsOf } from './contradictions.ts'
import { monitorsInTheWay, type TestWithDevices } from './monitors-in-the-way.ts'
import { lockTest, lockTests, markTestAccepted, markTestsVoided, updateTest } from './queries.ts'
import { refuse, strangeReferences } from './record-test.ts'
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
    ...(await strangers(tx, was.propertyId, correction)),
    ...(await monitorsInTheWay(tx, act, standsAnew(was, now))),
  ])
  return saveChange(tx, act, was, now, { fields: Object.keys(correction), reason })
}

// Only a correction that opens a test again, or moves its beginning, wants its monitors anew.
function standsAnew(was: TestRow, now: TestColumns): readonly TestWithDevices[] {
  const goesOn = (test: TestColumns) => test.setAt !== null && test.pickedUpAt === null && test.resultInAt === null
  if (!goesOn(now) || (goesOn(was) && was.setAt === now.setAt)) return []
  const { id: testId, propertyId, exposures } = was
  return [{ testId, propertyId, pointer: '', setAt: now.setAt, over: false, exposures }]
}

const strangers = (tx: Tx, propertyId: string, { systemId, followsTestId }: Partial<TestCorrection>) =>
  strangeReferences(tx, [
    ...(systemId ? [{ propertyId, kind: 'system', id: systemId, pointer: '/systemId' } as const] : []),
    ...(followsTestId ? [{ propertyId, kind: 'test', id: followsTestId, pointer: '/followsTestId' } as const] : []),
  ])

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
  const { propertyId } = await testToChange(tx, act, testId, version)
  await voidTests(tx, act, [testId], reason)
  return restand(tx, act, propertyId)
}

/** The same for many, without regard to their versions; gives their homes, which the caller stands anew. */
export async function voidTests(tx: Tx, act: Act, ids: readonly string[], reason: string): Promise<readonly string[]> {
  const tests = await lockTests(tx, act, ids)
  await markTestsVoided(tx, act.now, ids, reason)
  await recordWrites(
    tx,
    act,
    tests.map(({ id, propertyId, version }) => ({
      ...{ action: 'void', noun: 'test', id, propertyId, reason },
      version: version + 1,
    })),
  )
  return [...new Set(tests.map(test => test.propertyId))]
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
