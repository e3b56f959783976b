import { instantOn } from '../domain/calendar/local-day.ts'
import { type KitMatch, matchKit } from '../domain/devices/match-kit.ts'
import type { LocalDay } from '../domain/facts.ts'
import { kitsByNumber, type NumberedKit } from '../features/devices/kit-match-queries.ts'
import { lockKit } from '../features/devices/kit-queries.ts'
import { takeResults } from '../features/tests/advance-test.ts'
import { readTest } from '../features/tests/queries.ts'
import { recordTest } from '../features/tests/record-test.ts'
import type { Tx } from '../platform/db/client.ts'
import type { Act } from '../platform/db/record-write.ts'
import { type Fault, problem } from '../platform/http/problem.ts'
import { holdHomes } from '../standing/restand.ts'
import type { KitAnswer } from './kit-answer-schemas.ts'

export type Answered = { readonly kitId: string | null; readonly propertyId: string; readonly testId: string }

/** A laboratory's answer for a kit, known by its number: it becomes the result of the kit's test. */
export async function answerKit(tx: Tx, act: Act, input: KitAnswer): Promise<Answered> {
  const found = await theKit(tx, act, input)
  // Of two answers for one kit at once the second finds the first.
  if (found.id !== null) await lockKit(tx, act, found.id)
  await holdHomes(tx, [found.propertyId])
  const kit = await theKit(tx, act, input)
  const answer = { ...input, resultInAt: input.resultInAt ?? act.now }
  const testId = kit.exposureId === null ? await madeOf(tx, act, kit, answer) : await takenBy(tx, act, kit, answer)
  return { kitId: kit.id, propertyId: kit.propertyId, testId }
}

type Timed = KitAnswer & { readonly resultInAt: number }

async function madeOf(tx: Tx, act: Act, kit: NumberedKit, answer: Timed): Promise<string> {
  const [from, to] = [answer.exposedFrom ?? kit.exposedFrom, answer.exposedTo ?? kit.exposedTo]
  const startAt = noon(from, kit, answer)
  // Opened and closed on one day: at which hour the end was is not known.
  const stopAt = from === to ? null : noon(to, kit, answer)
  const { deviceId, locationId, purpose, method, number: kitNumber } = kit
  const { result, resultInAt, laboratory = '' } = answer
  const { testId } = await recordTest(tx, act, kit.propertyId, {
    ...{ purpose, method, laboratory, resultInAt, setAt: startAt, pickedUpAt: stopAt },
    sentToLabAt: noon(kit.postedOn, kit, answer),
    exposures: [{ role: 'measurement', deviceId, kitNumber, locationId, startAt, stopAt, result }],
  })
  return testId
}

async function takenBy(tx: Tx, act: Act, kit: NumberedKit, answer: Timed): Promise<string> {
  const { id, version } = await readTest(tx, act, kit.testId!)
  const startAt = noon(answer.exposedFrom ?? null, kit, answer) ?? undefined
  const stopAt = noon(answer.exposedTo ?? null, kit, answer) ?? undefined
  const results = [{ exposureId: kit.exposureId!, startAt, stopAt, result: answer.result }]
  await takeResults(tx, act, id, version, { resultInAt: answer.resultInAt, results })
  return id
}

// People say days; a test has moments. Noon on the home's clock, and never later than the answer.
const noon = (day: LocalDay | null, { zone }: NumberedKit, { resultInAt }: Timed): number | null =>
  day === null ? null : Math.min(instantOn(day, '12:00', zone), resultInAt)

async function theKit(tx: Tx, act: Act, { number, deviceId }: KitAnswer): Promise<NumberedKit> {
  const match = matchKit(number, await kitsByNumber(tx, act, [number]), deviceId ? { deviceId } : {})
  if (match.fits === 'one') return match.kit
  throw problem(422, 'impossible', 'The answer belongs to no single kit; nothing was saved.', [misfit(match)])
}

/** What is said where a number fits no kit, or more than one. */
function misfit(match: Exclude<KitMatch<NumberedKit>, { fits: 'one' }>): Fault {
  const pointer = '/number'
  if (match.fits === 'none')
    return {
      pointer,
      code: 'number-unknown',
      detail: 'No kit with this number has left the shop: read it again, or enter the test at its home',
    }
  const where = match.kits.map(kit => `${kit.lotName} at ${kit.address}`).join('; ')
  return match.fits === 'several'
    ? {
        pointer,
        code: 'number-fits-several',
        detail: `Several kits have this number (${where}): say which lot`,
      }
    : {
        pointer,
        code: 'answered-already',
        detail: `It has its answer already, or came back unused (${where}): correct that first, if it was wrong`,
      }
}
