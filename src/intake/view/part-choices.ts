import { type Clock, columnOf, type Question, type Reading, type ReadingPart } from '../monitor-file/reading.ts'
import { clockWords } from '../monitor-file/sentence.ts'

export type PartChoice = { readonly value: unknown; readonly words: string }

/** Heading over the choices of a part. */
export const partWords: Readonly<Record<ReadingPart, string>> = {
  columns: 'Which column holds radon?',
  unit: 'In which unit are the readings?',
  stamp: 'Does a stamp mark the start or the end of its interval?',
  clock: 'Which clock did the monitor show?',
  repeatedHour: 'What of the hour that autumn repeats?',
  delimiter: 'What parts the cells?',
  decimalMark: 'What marks decimals?',
  dateOrder: 'How are dates written?',
  hours: 'How are hours counted?',
  deviceCorrectedFirstHours: 'Has the monitor corrected its first hours itself?',
}

const choice = (value: unknown, words: string): PartChoice => ({ value, words })

const FIXED: Partial<Record<ReadingPart, readonly PartChoice[]>> = {
  unit: [choice('pCi/L', 'pCi/L'), choice('Bq/m3', 'Bq/m³')],
  stamp: [choice('end', 'the end'), choice('start', 'the start')],
  delimiter: [choice(',', 'commas'), choice(';', 'semicolons'), choice('\t', 'tabs'), choice('|', 'bars')],
  decimalMark: [choice('.', 'a point: 3.8'), choice(',', 'a comma: 3,8')],
  dateOrder: [
    choice('mdy', 'month first: 11/3/2025'),
    choice('dmy', 'day first: 3/11/2025'),
    choice('ymd', 'year first: 2025-11-03'),
  ],
  hours: [choice('24', '24 hours'), choice('12', 'am and pm')],
  deviceCorrectedFirstHours: [choice(false, 'no: its first hours are left out of the mean'), choice(true, 'yes')],
  repeatedHour: [
    choice('in-order', 'the rows stand in the order they were measured'),
    choice('file-order', 'of two rows with one time, the first in the file came first'),
    choice('leave-out', 'leave both hours out, as a gap'),
  ],
}

/** Distances from UTC that people live at, in minutes. */
const OFFSETS = [-600, -540, -480, -420, -360, -300, -240, -210, -180, 0, 60, 120, 180, 330, 480, 540, 570, 600, 720]

/** What a part can be changed to; a question brings its own choices. */
export function choicesOf(
  part: ReadingPart,
  reading: Reading,
  zone: string,
  question?: Question,
): readonly PartChoice[] {
  if (question) return question.choices.map(({ value, label }) => choice(value, label))
  if (part === 'columns') return columnChoices(reading)
  if (part !== 'clock') return FIXED[part] ?? []
  const clocks: Clock[] = [
    { kind: 'zone', zone },
    ...OFFSETS.map(offsetMinutes => ({ kind: 'fixed' as const, offsetMinutes })),
  ]
  return clocks.map(clock => choice(clock, clockWords(clock)))
}

/** Any column that is not the stamp can be the one of radon. */
function columnChoices(reading: Reading): readonly PartChoice[] {
  const stamps = (['date-time', 'date', 'time'] as const).map(role => columnOf(reading, role))
  return reading.columns
    .filter(({ index }) => !stamps.includes(index))
    .map(({ index, name }) => {
      const columns = reading.columns.map(column => {
        if (column.index === index) return { ...column, role: 'value' as const }
        return column.role === 'value' ? { ...column, role: 'ignored' as const } : column
      })
      return choice(columns, name ? `“${name}” (column ${index + 1})` : `column ${index + 1}`)
    })
}
