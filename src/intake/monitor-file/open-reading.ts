import type { RadonUnit } from '../../domain/facts.ts'
import { stampEdgeIn } from './column-names.ts'
import type { Encoding } from './decode-text.ts'
import type { Evidence } from './gather-evidence.ts'
import { clockIn } from './guess-clock.ts'
import type { GuessedColumns } from './guess-columns.ts'
import type { Layout } from './guess-layout.ts'
import { monthNames } from './month-names.ts'
import type { How, Question, Reading, ReadingPart } from './reading.ts'
import { columnOf } from './reading.ts'
import type { DateOrder } from './stamp.ts'
import { unitIn } from './unit-text.ts'

export type Told = Partial<Pick<Reading, ReadingPart>>
export type Opened = {
  readonly reading: Reading
  readonly how: Partial<Record<ReadingPart, How>>
  readonly questions: readonly Question[]
  readonly notes: readonly string[]
}
type Given = {
  readonly layout: Layout
  readonly guessed: GuessedColumns
  readonly evidence: Evidence
  readonly encoding: Encoding
  readonly context: { readonly zone: string; readonly told?: Told }
}
/** One part: its value (null when open), how it is known, and the question if it must be asked. */
type Part<T> = { readonly value: T; readonly how: How; readonly question?: Question }

const seen = <T>(value: T, why: string): Part<T> => ({ value, how: { by: 'seen', why } })
const assumed = <T>(value: T, why: string): Part<T> => ({ value, how: { by: 'assumed', why } })
const asked = (question: Question): Part<null> => ({ value: null, how: { by: 'asked', why: question.text }, question })

function unitPart({ layout, guessed, evidence }: Given, columns: Reading['columns']): Part<RadonUnit | null> {
  const index = columnOf({ columns }, 'value')
  const header = layout.names[index] ?? ''
  const sources: readonly (readonly [string, ReturnType<typeof unitIn>])[] = [
    [`the header says “${header}”`, unitIn(header)],
    ['its cells carry it', evidence.unitsInCells.size === 1 ? ([...evidence.unitsInCells][0] as RadonUnit) : null],
    ['the lines above the readings name it', unitIn(layout.preamble)],
  ]
  const told = sources.find(([, unit]) => unit !== null)
  if (told && (told[1] === 'pCi/L' || told[1] === 'Bq/m3') && guessed) return seen(told[1], told[0])
  return asked({
    part: 'unit',
    text:
      told?.[1] === 'other'
        ? 'The file names a unit that is not read here. Are the numbers in one of these?'
        : 'In which unit are the readings?',
    choices: [
      { value: 'pCi/L', label: 'pCi/L' },
      { value: 'Bq/m3', label: 'Bq/m³' },
    ],
  })
}

function orderPart({ evidence }: Given): Part<DateOrder | null> {
  const [first, second] = evidence.dateOrders
  if (!first) return assumed('dmy', 'no order fits every date')
  if (!second)
    return seen(
      first,
      first === 'ymd' ? 'the year stands first, or the month has a name' : 'one of the two numbers passes 12',
    )
  if (evidence.orderIndifferent) return seen('dmy', 'day and month are the same number')
  const [a, b] = evidence.exampleDate.split('/').map(Number)
  return asked({
    part: 'dateOrder',
    text: `No day passes 12: does ${evidence.exampleDate} mean ${a} ${monthNames[b! - 1]} or ${b} ${monthNames[a! - 1]}?`,
    choices: [
      { value: 'dmy', label: `day first: ${a} ${monthNames[b! - 1]}` },
      { value: 'mdy', label: `month first: ${b} ${monthNames[a! - 1]}` },
    ],
  })
}

function markPart({ evidence }: Given): Part<'.' | ',' | null> {
  if (evidence.mark === null) return assumed('.', 'all numbers are whole')
  if (evidence.mark !== 'open-comma') return seen(evidence.mark, 'the numbers show it')
  return asked({
    part: 'decimalMark',
    text: 'Three digits follow every comma: does it mark decimals, or thousands?',
    choices: [
      { value: ',', label: 'decimals: 1,234 is a little more than one' },
      { value: '.', label: 'thousands: 1,234 is more than a thousand' },
    ],
  })
}

function clockPart({ layout, evidence, context }: Given): Part<Reading['clock']> {
  if (evidence.statesOffset) return seen({ kind: 'stated' } as const, 'each stamp states its distance from UTC')
  const named = clockIn(`${layout.preamble}\n${layout.names.join(' ')}`)
  if (named) return { value: named.clock, how: named.how }
  return assumed(
    { kind: 'zone', zone: context.zone } as const,
    'the file does not say; it is the clock where the home stands',
  )
}

function columnsPart({ layout, guessed }: Given): Part<Reading['columns']> {
  if (guessed.columns.some(c => c.role === 'value')) return seen([...guessed.columns], guessed.why)
  const choices = guessed.candidates.map(index => ({
    value: guessed.columns.map(c => (c.index === index ? { ...c, role: 'value' as const } : c)),
    label: `column ${index + 1}${layout.names[index] ? `, “${layout.names[index]}”` : ''}: ${layout.sample
      .slice(0, 3)
      .map(row => row[index])
      .join(' · ')}`,
  }))
  const question: Question = { part: 'columns', text: 'Which column holds radon?', choices }
  return { value: [...guessed.columns], how: { by: 'asked', why: guessed.why }, question }
}

function stampPart({ layout }: Given): Part<'start' | 'end'> {
  const { date, time } = layout.stamp
  const edge = stampEdgeIn(`${layout.names[date] ?? ''} ${time === null ? '' : (layout.names[time] ?? '')}`)
  return edge ? seen(edge, 'the header says so') : assumed('end', 'the file does not say; most monitors stamp the end')
}

/** Everything single rows and all rows together tell, with questions for the rest. */
export function openReading(given: Given): Opened {
  const { layout, evidence, encoding, context } = given
  const columns = context.told?.columns ? assumed(context.told.columns, '') : columnsPart(given)
  const parts = {
    delimiter: seen(layout.delimiter, 'most lines part into even cells by it'),
    decimalMark: markPart(given),
    columns,
    dateOrder: orderPart(given),
    hours: seen(evidence.twelveHour ? ('12' as const) : ('24' as const), 'the times show it'),
    unit: unitPart(given, columns.value),
    clock: clockPart(given),
    stamp: stampPart(given),
    repeatedHour: assumed(null, 'no hour has come twice'),
    deviceCorrectedFirstHours: assumed(false, 'the file does not say'),
  } satisfies Record<ReadingPart, Part<unknown>>
  const entries = Object.entries(parts) as [ReadingPart, Part<unknown>][]
  const told = context.told ?? {}
  const isTold = (part: ReadingPart) => told[part] !== undefined && told[part] !== null
  const settled = entries.map(([part, p]) =>
    isTold(part) ? ([part, { value: told[part], how: { by: 'told', why: '' } }] as const) : ([part, p] as const),
  )
  const { headerLine, firstDataLine } = layout
  return {
    reading: {
      encoding,
      headerLine,
      firstDataLine,
      footerLines: evidence.footerLines,
      ...Object.fromEntries(settled.map(([k, p]) => [k, p.value])),
    } as Reading,
    how: Object.fromEntries(settled.map(([k, p]) => [k, p.how])),
    questions: entries.flatMap(([part, p]) => (p.question && !isTold(part) ? [p.question] : [])),
    notes: evidence.footerLines > 0 ? [`${evidence.footerLines} lines after the last reading are left out.`] : [],
  }
}
