import { decodeText } from './decode-text.ts'
import { type Fault, Unreadable } from './fault.ts'
import { gatherEvidence } from './gather-evidence.ts'
import { guessColumns } from './guess-columns.ts'
import { guessLayout } from './guess-layout.ts'
import { openReading, type Told } from './open-reading.ts'
import { type PreviewRow, previewRows } from './preview-rows.ts'
import { openParts, type ReadRecord, readText } from './read-with.ts'
import type { How, Question, Reading, ReadingPart } from './reading.ts'
import { type Segment, sentenceOf } from './sentence.ts'
import { clockQuestions, tried } from './settle-clock.ts'
import { firstLines } from './split-line.ts'
import { finished, type Steps } from './steps.ts'

export type { Told } from './open-reading.ts'

export type ProposalContext = {
  /** The zone of the home, taken for the monitor's clock when the file names none. */
  readonly zone: string
  /** What a person, or a saved reading, has already said. */
  readonly told?: Told
}

export type Proposal = {
  readonly reading: Reading
  readonly how: Readonly<Partial<Record<ReadingPart, How>>>
  readonly questions: readonly Question[]
  readonly sentence: readonly Segment[]
  readonly notes: readonly string[]
  readonly faults: readonly Fault[]
  readonly faultCount: number
  readonly preview: readonly PreviewRow[]
  /** The record under this reading; under the likeliest answers while questions are open. Null when it has faults. */
  readonly record: ReadRecord | null
}
export type Proposed = ({ readonly ok: true } & Proposal) | { readonly ok: false; readonly faults: readonly Fault[] }

const LINES_LOOKED_AT = 400

const NO_TABLE: Fault = {
  code: 'no-readings',
  line: null,
  content: '',
  problem: 'No line holds a date, a time and a number that a comma, semicolon or tab parts.',
  remedy: 'Export the hourly readings as CSV or text, with date and time beside each.',
}

/** A reading of the file, how each part of it is known, and what must be asked. Saves nothing. */
export function* proposeSteps(bytes: Uint8Array, context: ProposalContext): Steps<Proposed> {
  try {
    const { text, encoding } = decodeText(bytes)
    yield
    const layout = guessLayout(firstLines(text, LINES_LOOKED_AT), context.told?.delimiter)
    if (!layout) return { ok: false, faults: [NO_TABLE] }
    const guessed = guessColumns(layout)
    const columns = context.told?.columns ?? guessed.columns
    const evidence = yield* gatherEvidence(text, layout, columns, guessed.candidates)
    const opened = openReading({ layout, guessed, evidence, encoding, context })
    return yield* completed(text, opened, context)
  } catch (error) {
    if (error instanceof Unreadable) return { ok: false, faults: [error.fault] }
    throw error
  }
}

function* completed(text: string, opened: ReturnType<typeof openReading>, context: ProposalContext): Steps<Proposed> {
  const { reading, how, notes } = opened
  const questions = [...opened.questions]
  if (openParts(reading).includes('columns')) {
    const preview = previewRows(text, reading)
    return {
      ok: true,
      reading,
      how,
      questions,
      sentence: sentenceOf(reading, how, null),
      notes,
      faults: [],
      faultCount: 0,
      preview,
      record: null,
    }
  }
  const likely = yield* tried(text, reading, questions)
  const { asked, trial } = yield* clockQuestions(text, likely, how, context.told)
  questions.push(...asked)
  const proposed: Reading = { ...reading, ...Object.fromEntries(asked.map(question => [question.part, null])) }
  const outcome = yield* readText(text, trial)
  const known = { ...how, ...Object.fromEntries(asked.map(q => [q.part, { by: 'asked', why: q.text } as How])) }
  const record = outcome.ok ? outcome : null
  return {
    ok: true,
    reading: proposed,
    how: known,
    questions,
    sentence: sentenceOf(proposed, known, record),
    notes: [...supposed(questions, trial), ...notes, ...(outcome.ok ? countNotes(outcome) : [])],
    faults: outcome.ok ? [] : outcome.faults,
    faultCount: outcome.ok ? 0 : outcome.faultCount,
    preview: previewRows(text, trial),
    record,
  }
}

/** The picture needs an answer where nobody has given one: which one it took must be said. */
function supposed(questions: readonly Question[], trial: Reading): readonly string[] {
  const labels = questions.flatMap(({ part, choices }) => {
    const taken = choices.find(({ value }) => JSON.stringify(value) === JSON.stringify(trial[part]))
    return taken ? [taken.label] : []
  })
  return labels.length > 0 ? [`Until it is answered, the picture supposes: ${labels.join('; ')}.`] : []
}

function countNotes({ counts }: ReadRecord): readonly string[] {
  const notes: string[] = []
  if (counts.repeated > 0) notes.push(`${counts.repeated} repeated rows say the same and count once.`)
  if (counts.missing > 0) notes.push(`${counts.missing} readings are missing; they stay gaps.`)
  if (counts.leftOut > 0) notes.push(`${counts.leftOut} rows in the repeated autumn hour are left out.`)
  return notes
}

export const proposeReading = (bytes: Uint8Array, context: ProposalContext): Proposed =>
  finished(proposeSteps(bytes, context))
