import type { Reported } from '../../domain/facts.ts'
import type { Tx } from '../../platform/db/client.ts'
import { type Act, recordWrites } from '../../platform/db/record-write.ts'
import { newId } from '../../platform/ids.ts'
import { contradictionsOf, exposureContradictionsOf } from './contradictions.ts'
import { putSeries, recordsAgainst, type SeriesInsert } from './exposure-queries.ts'
import type { ReadTest, TestMoments } from './reading-queries.ts'
import { insertExposuresInPlace, markExposuresVoided, setAgainstRecords, setTestMoments } from './reading-queries.ts'
import { canonicalBqM3 } from './record-as-series.ts'
import { refuse } from './record-test.ts'

/** What an exposure says when its file is read otherwise. */
export type OtherReading = {
  readonly exposureId: string
  readonly startAt: number | null
  readonly stopAt: number | null
  readonly result: Reported | null
  readonly series: SeriesInsert | null
}
/** A test with other readings; `pointer` leads to it in the file. */
export type TestReadAgain = {
  readonly test: ReadTest
  readonly moments: Pick<TestMoments, 'setAt' | 'pickedUpAt' | 'resultInAt'>
  readonly readings: readonly OtherReading[]
  readonly pointer: string
}

/**
 * Puts other readings of a file in the place of those that tests have. The old ones stay, voided; room, device and all
 * else of the test stay; what was accepted is to be looked at again. Gives the ids of the new exposures; the caller
 * holds the tests and stands their homes anew.
 */
export async function replaceReadings(
  tx: Tx,
  act: Act,
  tests: readonly TestReadAgain[],
  reason: string,
): Promise<readonly string[]> {
  refuse(tests.flatMap(one => contradictionsIn(one, act.now)))
  const made = tests.flatMap(({ readings }) => readings.map(reading => ({ id: newId(), reading })))
  await markExposuresVoided(
    tx,
    made.map(({ reading }) => reading.exposureId),
    act.now,
  )
  const placed = await insertExposuresInPlace(
    tx,
    act.now,
    made.map(({ id, reading: { exposureId, startAt, stopAt, result } }) => ({
      ...{ id, inPlaceOf: exposureId, startAt, stopAt, canonicalBqM3: canonicalBqM3(result) },
      ...(result ?? { value: null, unit: null, qualifier: '=', uncertainty: null }),
    })),
  )
  for (const { id, reading } of made) if (reading.series) await putSeries(tx, act.now, id, reading.series)
  await setAgainstRecords(tx, await recordsAgainst(tx, act.now, placed))
  const moments = tests.map(({ test, moments }) => ({ id: test.id, ...moments, acceptedAt: null, acceptedBy: null }))
  await changeMoments(tx, act, moments, reason, new Map(tests.map(({ test }) => [test.id, test])))
  return made.map(({ id }) => id)
}

/** Puts readings back that others took the place of; what was accepted is to be looked at again. */
export async function restoreReadings(
  tx: Tx,
  act: Act,
  { made, struck }: { readonly made: readonly string[]; readonly struck: readonly string[] },
  reason: string,
): Promise<void> {
  const tests = [
    ...(await markExposuresVoided(tx, made, act.now)),
    ...(await markExposuresVoided(tx, struck, null)),
  ].map(({ testId }) => testId)
  const moments = [...new Set(tests)].map(id => ({ id, acceptedAt: null, acceptedBy: null }))
  await changeMoments(tx, act, moments, reason)
}

/** Puts in moments of tests that follow from their readings, and whether they are accepted; the caller stands the homes anew. */
export async function changeMoments(
  tx: Tx,
  act: Act,
  moments: readonly TestMoments[],
  reason: string,
  was: ReadonlyMap<string, unknown> = new Map(),
): Promise<void> {
  if (moments.length === 0) return
  const fields = ['exposures', 'setAt', 'pickedUpAt', 'resultInAt', 'acceptedAt']
  const changed = await setTestMoments(tx, act.now, moments)
  await recordWrites(
    tx,
    act,
    changed.map(({ id, propertyId, version }) => ({
      ...{ action: 'correct', noun: 'test', id, propertyId, version, fields, reason, was: was.get(id) },
    })),
  )
}

const contradictionsIn = ({ test, moments, readings, pointer }: TestReadAgain, now: number) =>
  [
    ...contradictionsOf({ ...test, ...moments }, now),
    ...readings.flatMap(({ startAt, stopAt }) => exposureContradictionsOf({ startAt, stopAt }, now, '')),
  ].map(fault => ({ ...fault, pointer: `${pointer}${fault.pointer}` }))
