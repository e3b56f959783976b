import { seriesOf } from '../../features/tests/exposure-queries.ts'
import { type ReadTest, testsOfReading } from '../../features/tests/reading-queries.ts'
import { replaceReadings } from '../../features/tests/replace-readings.ts'
import { importToChange, readImport } from '../../intake/import-queries.ts'
import { keepReadingAgain } from '../../intake/keep-import.ts'
import type { Tx } from '../../platform/db/client.ts'
import type { Act } from '../../platform/db/record-write.ts'
import { problem } from '../../platform/http/problem.ts'
import { seeHomes } from '../../standing/seen-home.ts'
import type { Done, Part, Prepared, Told } from '../correction-rows.ts'
import { homesNamed } from '../home-change.ts'
import { nouns } from '../nouns.ts'
import { type FileAgain, readKeptFile } from '../read-again/read-kept-file.ts'
import { recordAgain } from '../read-again/record-again.ts'
import { type Again, tableAgain, type WhereOf } from '../read-again/table-again.ts'
import { fieldsNow, partsOfWrite } from '../record-parts.ts'
import { toldWords } from '../told-words.ts'
import type { ReadAgainIn } from './read-again-body.ts'

/** A kept file read with another unit or clock: what its results said is struck through, what they say now stands. */
export async function readAgain(tx: Tx, act: Act, asked: ReadAgainIn): Promise<Prepared> {
  const seenBatch = await readImport(tx, act, asked.id)
  // Nothing is held yet while the file is read.
  const file = await readKeptFile(tx, seenBatch, asked.told)
  const batch = await importToChange(tx, act, asked.id, seenBatch.version)
  const tests = await testsOfReading(tx, batch)
  const homes = [...new Set(tests.map(test => test.propertyId))]
  await seeHomes(tx, act, homes)
  const again = await againOf(tx, file, tests)
  refuseUnlessOtherwise(again, tests)
  return {
    aim: {
      ...{ kind: 'read-again', noun: 'import', nounId: batch.id, intoId: null, reason: asked.reason },
      subject: `The file ${batch.fileName}`,
      homes: [...new Set(again.tests.map(({ test }) => test.propertyId))],
      versions: [batch.version, ...tests.map(test => test.version)],
    },
    work: tx => workOf(tx, act, file, again, asked.reason),
  }
}

async function againOf(tx: Tx, file: FileAgain, tests: readonly ReadTest[]): Promise<Again> {
  const named = await homesNamed(
    tx,
    tests.map(test => test.propertyId),
  )
  const whereOf: WhereOf = (test, { room }) => ({
    home: named.get(test.propertyId)?.address ?? '',
    room: room ?? '',
  })
  if (file.kind === 'results-table') return tableAgain(tests, file.before, file.after, whereOf)
  const test = tests.find(({ id }) => id === file.batch.testId)
  if (!test?.exposures.some(exposure => exposure.ofFile))
    throw problem(
      409,
      'nothing-stands',
      'The record of this file does not stand any more: its test was voided, or given another record.',
    )
  return recordAgain(test, await seriesOf(tx, test.id), { ...file, fileSha256: file.batch.fileSha256 }, whereOf)
}

function refuseUnlessOtherwise({ tests, told }: Again, standing: readonly ReadTest[]): void {
  if (tests.length > 0) return
  if (standing.length === 0)
    throw problem(409, 'nothing-stands', 'Nothing that this import made stands any more: all of it was voided.')
  if (standing.every(({ importLine, exposures }) => importLine === null && !exposures.some(({ ofFile }) => ofFile)))
    throw problem(
      409,
      'not-read-again',
      'When this import was saved it was not kept which line each test came from: undo it, and bring the file in anew as it is to be read.',
    )
  throw problem(
    422,
    'reads-the-same',
    'Read so, the file says what it said before; nothing would change.',
    told.slice(0, MOST_TOLD).map(one => ({ pointer: '/told', code: 'by-hand', detail: toldWords(one) })),
  )
}

/** So many results are told one by one; a longer list is on the pages of the tests. */
const MOST_TOLD = 200
const few = (told: readonly Told[]): readonly Told[] =>
  told.length <= MOST_TOLD ? told : [...told.slice(0, MOST_TOLD), `and ${told.length - MOST_TOLD} more`]

async function workOf(tx: Tx, act: Act, { batch, kept }: FileAgain, again: Again, reason: string): Promise<Done> {
  const { tests } = again
  const touched = {
    test: tests.map(({ test }) => test.id),
    exposure: tests.flatMap(({ readings }) => readings.map(({ exposureId }) => exposureId)),
    import: [batch.id],
  }
  let ids: readonly string[] = []
  const parts = await partsOfWrite(tx, nouns, touched, async () => {
    ids = await replaceReadings(tx, act, tests, reason)
    await keepReadingAgain(tx, act, batch.id, kept, reason)
  })
  const now = await fieldsNow(tx, 'exposure', nouns.exposure!, ids)
  const made = ids.map(
    (recordId): Part => ({
      ...{ noun: 'exposure', recordId, field: 'made', was: null, now: now.get(recordId)!.made },
    }),
  )
  return { parts: [...parts, ...made], told: few(again.told) }
}
