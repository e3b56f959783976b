import { Unreadable } from './fault.ts'
import { clockQuestion } from './guess-clock.ts'
import type { Told } from './open-reading.ts'
import { orderOf, placeInTime } from './place-in-time.ts'
import { readText } from './read-with.ts'
import type { How, Question, Reading, ReadingPart } from './reading.ts'
import { type Settled, scanRows } from './scan-rows.ts'
import type { Steps } from './steps.ts'
import { instantsOfWallTime } from './zone-offsets.ts'

/** Above this many bytes the answers are not tried one by one. */
const TRY_BELOW = 2 * 1024 * 1024

/** The reading with each open part set to its likeliest answer: the first under which the record reads without fault. */
export function* tried(text: string, reading: Reading, questions: readonly Question[]): Steps<Reading> {
  let trial = reading
  for (const question of questions) trial = { ...trial, [question.part]: question.choices[0]?.value ?? null }
  const order = questions.find(q => q.part === 'dateOrder')
  if (!order || text.length > TRY_BELOW) return trial
  let best = { trial, missing: Number.POSITIVE_INFINITY }
  for (const { value } of order.choices) {
    // the autumn hour is asked of later: here it must not decide between the orders
    const other = { ...trial, dateOrder: value as Reading['dateOrder'], repeatedHour: 'leave-out' as const }
    const outcome = yield* readText(text, other)
    const missing = outcome.ok ? outcome.counts.missing : Number.MAX_SAFE_INTEGER
    if (missing < best.missing) best = { trial: { ...trial, dateOrder: other.dateOrder }, missing }
  }
  return best.trial
}

const REPEATED_HOUR: Question = {
  part: 'repeatedHour',
  text: 'This record holds the hour that autumn repeats, and its rows do not show which pass they belong to.',
  choices: [
    { value: 'file-order', label: 'of two rows with one time, the first in the file came first' },
    { value: 'leave-out', label: 'leave both hours out, as a gap' },
  ],
}

type Asked = { readonly asked: readonly Question[]; readonly trial: Reading }

/** What the clock changes leave open, once the wall times are known. */
export function* clockQuestions(
  text: string,
  reading: Reading,
  how: Readonly<Partial<Record<ReadingPart, How>>>,
  told: Told | undefined,
): Steps<Asked> {
  const { clock } = reading
  if (clock?.kind !== 'zone') return { asked: [], trial: reading }
  const walls = (yield* scannedWalls(text, reading)) ?? new Float64Array()
  if (walls.length === 0) return { asked: [], trial: reading }
  const instantsOf = instantsOfWallTime(clock)
  const order = orderOf(walls.length, i => only(instantsOf(walls[i]!)))
  if (how.clock?.by === 'assumed') {
    const sorted = order === 'rising' ? walls : order === 'falling' ? walls.toReversed() : walls.toSorted()
    const question = clockQuestion(clock.zone, [...sorted])
    if (question)
      return { asked: [question], trial: { ...reading, clock: question.choices[0]!.value as Reading['clock'] } }
  }
  if (told?.repeatedHour) return { asked: [], trial: reading }
  const placed = placeInTime(walls.length, i => walls[i]!, instantsOf, null)
  if (placed.unsettled.length === 0) return { asked: [], trial: reading }
  return { asked: [REPEATED_HOUR], trial: { ...reading, repeatedHour: 'file-order' } }
}

const only = (instants: readonly number[]): number | null => (instants.length === 1 ? instants[0]! : null)

function* scannedWalls(text: string, reading: Reading): Steps<Float64Array | null> {
  try {
    return (yield* scanRows(text, reading as Settled)).wallMs
  } catch (error) {
    if (error instanceof Unreadable) return null
    throw error
  }
}
